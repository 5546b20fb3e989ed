/**
 * What a check may ask of the workbook. Whatever is asked is noted, so that a later change of it asks the check again
 * and no other.
 */
import type { Concept, Figure } from "../tables";
import { conceptOf, figureAt, isUnit, nearestAbout, tableAround } from "../tables";
import { CallReading } from "./call-reading";
import type { Labelled, SeenCall, SeenRow } from "./seen";
import { isTyped, SeenCell, textIn } from "./seen";
import type { SurveyedSheet } from "./survey";

/** A longer table is no price book. */
const longestBook = 500;
/** A label stands at most so far to the left. */
const reach = 8;

/** Beside cells and calls, what stands around them: tables, labels, the other sheets of the job. */
export class Reading extends CallReading {
  private layout(sheet: SurveyedSheet) {
    this.note(`layout ${sheet.index}`);
    return sheet.layout;
  }

  /** The row of a table that a cell stands in, or to the right of. */
  rowAround({ sheet, row, column }: Pick<SeenCell, "sheet" | "row" | "column">): SeenRow | undefined {
    const table = tableAround(this.layout(sheet), { row, column });
    return table === undefined ? undefined : { sheet, table, row, column };
  }

  /** The cell of a row under a head about this; of several such heads, the last, which is the worked-out one. */
  inRow(row: SeenRow, concept: Concept): Labelled | undefined {
    return this.allInRow(row, concept).pop();
  }

  allInRow({ sheet, table, row }: SeenRow, concept: Concept): Labelled[] {
    return table.columns
      .filter((one) => one.concept === concept)
      .sort((one, other) => (one.declaredAt ?? one.column) - (other.declaredAt ?? other.column))
      .map(({ column, head, system, unit, isLoose }) => ({
        cell: this.cell(sheet, { row, column }),
        label: head,
        system,
        unit,
        isLoose,
      }));
  }

  private labelled(sheet: SurveyedSheet, figure: Figure | undefined): Labelled | undefined {
    if (figure === undefined) return undefined;
    return { cell: this.cell(sheet, figure.at), label: figure.label, system: undefined, unit: figure.unit };
  }

  private figuresOn(sheet: SurveyedSheet, concept: Concept): readonly Figure[] {
    return this.layout(sheet).about.get(concept) ?? [];
  }

  /** The row of the cell first, then the labels of its sheet. */
  near(concept: Concept, from: SeenCell): Labelled | undefined {
    const row = this.rowAround(from);
    const inRow = row === undefined ? undefined : this.inRow(row, concept);
    if (inRow !== undefined) return inRow;
    return this.labelled(from.sheet, nearestAbout(this.layout(from.sheet), concept, from.row));
  }

  /** The sheets that belong together with this one: those of its bid, or all of the estimator's own. */
  together(sheet: SurveyedSheet): readonly SurveyedSheet[] {
    const bid = this.survey.bidOf(sheet);
    if (bid !== undefined) return bid;
    const others = this.survey.sheets.filter(
      (other) => other !== sheet && this.survey.bidOf(other) === undefined,
    );
    return [sheet, ...others];
  }

  isOfBid(sheet: SurveyedSheet): boolean {
    return this.survey.bidOf(sheet) !== undefined;
  }

  /** Near the cell, else a label on the sheets that belong together with its own. */
  find(concept: Concept, from: SeenCell): Labelled | undefined {
    const near = this.near(concept, from);
    if (near !== undefined) return near;
    const elsewhere = this.together(from.sheet)
      .filter((sheet) => sheet !== from.sheet)
      .map((sheet) => ({ sheet, figures: this.figuresOn(sheet, concept) }))
      .filter(({ figures }) => figures.length > 0);
    const [first] = elsewhere;
    const isOnlyOne = elsewhere.length === 1 && first?.figures.length === 1;
    return first !== undefined && (isOnlyOne || this.isOfBid(from.sheet))
      ? this.labelled(first.sheet, first.figures[0])
      : undefined;
  }

  /** What the price book, or any list of products, says of a product. */
  ofProduct(concept: Concept, product: string, from: SeenCell): Labelled | undefined {
    const wanted = product.toLowerCase();
    for (const sheet of this.together(from.sheet)) {
      for (const table of this.layout(sheet).tables) {
        const names = table.columns.find((column) => column.concept === "product");
        const told = table.columns.some((column) => column.concept === concept);
        if (names === undefined || !told || table.last - table.first > longestBook) continue;
        for (let row = table.first; row <= table.last; row++) {
          const name = this.cell(sheet, { row, column: names.column });
          if (textIn(name).toLowerCase() !== wanted) continue;
          return this.inRow({ sheet, table, row, column: names.column }, concept);
        }
      }
    }
    return undefined;
  }

  /** What the label of the pre-emergent in use says, as the estimator copied it. */
  ofLabel(concept: Concept, from: SeenCell): Labelled | undefined {
    const product = this.productNear(from);
    const told = product === "" ? undefined : this.ofProduct(concept, product, from);
    return told ?? this.find(concept, from);
  }

  productNear(from: SeenCell): string {
    const named = textIn(this.find("preEmergent", from)?.cell);
    return named === "" ? textIn(this.near("product", from)?.cell) : named;
  }

  /** The text that says what a cell is: the head of its column, or the nearest text to its left. */
  labelOf(cell: SeenCell): string {
    const table = this.rowAround(cell)?.table;
    const head = table?.columns.find(({ column }) => column === cell.column)?.head;
    if (head !== undefined) return head;
    for (let column = cell.column - 1; column >= 0 && column >= cell.column - reach; column--) {
      const left = this.cell(cell.sheet, { row: cell.row, column });
      if (isTyped(left) && typeof left.value === "string" && left.value !== "") return left.formula;
    }
    return "";
  }

  /** The unit that is told beside a figure or in its label, with the space before it; else nothing. */
  unitOf(cell: SeenCell): string {
    const beside = textIn(this.cell(cell.sheet, { row: cell.row, column: cell.column + 1 }));
    if (isUnit(beside)) return ` ${beside}`;
    const [, inLabel = ""] = /,([^,]*)$/.exec(this.labelOf(cell)) ?? [];
    return isUnit(inLabel.trimStart()) ? ` ${inLabel.trimStart()}` : "";
  }

  conceptOf(cell: SeenCell): Concept | undefined {
    const figure = figureAt(this.layout(cell.sheet), cell);
    if (figure !== undefined) return figure.concept;
    const column = this.rowAround(cell)?.table.columns.find((one) => one.column === cell.column);
    return column === undefined ? conceptOf(this.labelOf(cell)) : column.concept;
  }

  /** The calls of a function on the sheets that belong together with this one. */
  *callsOf(id: string, from: SeenCell, onlyHere = false): Generator<SeenCall> {
    this.note(`calls ${id}`);
    const sheets = onlyHere ? [from.sheet] : this.together(from.sheet);
    for (const key of this.survey.callersOf(id)) {
      const place = this.survey.placeOf(key);
      if (place === undefined || !sheets.includes(place.sheet)) continue;
      const cell = this.cell(place.sheet, place.at);
      for (const shape of cell.shape?.calls ?? []) if (shape.id === id) yield this.call(cell, shape);
    }
  }

  /** Whether seed is worked out for the job that a cell belongs to. */
  seedIsSown(from: SeenCell): boolean {
    return this.together(from.sheet).some((sheet) => {
      this.note(`gives SEED_WEIGHT ${sheet.index}`);
      return this.survey.gives("SEED_WEIGHT", sheet);
    });
  }

  /** The cell that a sheet of a bid knows by a name, if it does. */
  partOf(name: string, part: string): SeenCell | undefined {
    const sheet = this.survey.sheet(name);
    const block = sheet?.ofBid?.found.parts.get(part.toLowerCase());
    return sheet === undefined || block === undefined
      ? undefined
      : this.cell(sheet, { row: block.top, column: block.left });
  }

  /** Every text under a head about this, in lower case. */
  namesUnder(concept: Concept, sheet: SurveyedSheet): ReadonlySet<string> {
    const names = new Set<string>();
    for (const table of this.layout(sheet).tables) {
      for (let row = table.first; row <= table.last; row++) {
        const name = this.inRow({ sheet, table, row, column: 0 }, concept);
        if (name !== undefined) names.add(textIn(name.cell).toLowerCase());
      }
    }
    return names;
  }

  /** What a column holds, from the top; a change of a figure in it does not count, a change of a formula does. */
  column(sheet: SurveyedSheet, column: number): readonly SeenCell[] {
    this.note(`column ${sheet.index} ${column}`);
    return sheet.inColumn(column).map(({ row }) => new SeenCell(sheet, row, column));
  }

  /** The formulas that read a cell. */
  usersOf({ sheet, row, column }: SeenCell): readonly SeenCell[] {
    this.note(`users ${sheet.keyOf({ row, column })}`);
    return this.survey
      .usersOf(sheet, { row, column })
      .map((user) => new SeenCell(user.sheet, user.at.row, user.at.column));
  }
}

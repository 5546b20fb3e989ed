/**
 * What a check may ask of the workbook. Whatever is asked is noted, so that a later change of it asks the check again
 * and no other.
 */
import type { WorksheetFunction } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { isRepeating } from "../../engine/parameters";
import { Refusal } from "../../engine/refusal";
import { functionNamed } from "../../engine/catalogue";
import { givesOneValue, unitsPosition } from "../../engine/formula";
import type { UnitSystem } from "../../engine/units";
import type { Value } from "../formulas";
import { evaluate, NotFollowed } from "../formulas";
import type { Block, Scalar } from "../host";
import type { At, Concept, Figure, NamedUnit, Table } from "../tables";
import { conceptOf, figureAt, isUnit, nearestAbout, tableAround } from "../tables";
import type { ArgumentShape, CallShape, FormulaShape, ReferenceShape } from "./shapes";
import { placed } from "./shapes";
import type { CellKey, Survey, SurveyedSheet } from "./survey";
import { addressOf, within } from "./survey";

/** What a check's answer rests on: a cell, or something about a whole sheet or the whole workbook. */
export type Ground =
  | CellKey
  | `layout ${number}`
  | `column ${number} ${number}`
  | `calls ${string}`
  | `gives ${string} ${number}`
  | UsersGround;
type UsersGround = `users ${CellKey}`;

/** A cell as a check saw it. */
export class SeenCell implements At {
  readonly formula: string;
  readonly value: Scalar;
  readonly isText: true | undefined;
  readonly shape: FormulaShape | undefined;

  constructor(
    readonly sheet: SurveyedSheet,
    readonly row: number,
    readonly column: number,
  ) {
    const { formula, value, isText, shape } = sheet.get({ row, column });
    this.formula = formula;
    this.value = value;
    this.isText = isText;
    this.shape = shape;
  }

  /** Spelt when it is told: most cells never are. */
  get address(): string {
    return addressOf(this);
  }
}

export interface SeenArgument {
  readonly shape: ArgumentShape;
  /** Undefined where only the spreadsheet can work it out. */
  readonly value: Value | undefined;
  /** The cell that it is, if it is one cell. */
  readonly cell: SeenCell | undefined;
  /** The cells that it is made from. */
  readonly references: readonly ReferenceShape[];
}

export interface SeenCall {
  readonly id: string;
  readonly definition: WorksheetFunction;
  readonly cell: SeenCell;
  readonly system: UnitSystem;
  readonly given: readonly SeenArgument[];
}

/** One row of a table, its cells by what their heads say. */
export interface SeenRow extends At {
  readonly sheet: SurveyedSheet;
  readonly table: Table;
}

/** A cell with the head or label that says what it is. */
export interface Labelled {
  readonly cell: SeenCell;
  readonly label: string;
  readonly system: UnitSystem | undefined;
  /** Given where the head or the label states one. */
  readonly unit?: NamedUnit | undefined;
  /** Set where the head says it loosely. */
  readonly isLoose?: true | undefined;
}

/** A longer table is no price book. */
const longestBook = 500;
/** A label stands at most so far to the left. */
const reach = 8;

export const isTyped = ({ shape }: Pick<SeenCell, "shape">): boolean => shape === undefined;

/** The number in a cell; a blank, a text and an error are none. */
export const numberIn = (cell: Pick<SeenCell, "value"> | undefined): number | undefined =>
  typeof cell?.value === "number" && Number.isFinite(cell.value) ? cell.value : undefined;

export const textIn = (cell: Pick<SeenCell, "value"> | undefined): string =>
  typeof cell?.value === "string" && !cell.value.startsWith("#") ? cell.value.trim() : "";

export const isNothing = ({ value }: Pick<SeenCell, "value">): boolean =>
  value === null || value === "" || value === 0;

export const numberGiven = ({ value }: Pick<SeenArgument, "value">): number | undefined =>
  typeof value === "number" && Number.isFinite(value) ? value : undefined;

export const parameterAt = ({ parameters }: WorksheetFunction, i: number): Parameter | undefined => {
  const last = parameters[parameters.length - 1];
  return parameters[i] ?? (last !== undefined && isRepeating(last) ? last : undefined);
};

function systemOf(definition: WorksheetFunction, given: readonly SeenArgument[]): UnitSystem {
  const units = given[unitsPosition(definition)]?.value;
  return typeof units === "string" && units.toLowerCase() === "metric" ? "metric" : "us";
}

export class Reading {
  constructor(
    private readonly survey: Survey,
    /** The day of the check, as a sheet counts days. */
    readonly today: number,
    private readonly note: (ground: Ground) => void,
  ) {}

  cell(sheet: SurveyedSheet, at: At): SeenCell {
    this.note(sheet.keyOf(at));
    return new SeenCell(sheet, at.row, at.column);
  }

  /** The call of a cell with what it is given. */
  call(cell: SeenCell, { id, definition, given }: CallShape): SeenCall {
    const arguments_ = given.map((shape) => this.argument(cell, shape));
    return { id, definition, cell, system: systemOf(definition, arguments_), given: arguments_ };
  }

  /** A function down the rows of a sheet, a call for each row. */
  *rowsOf({ cell, given: [name, ...columns] }: SeenCall): Generator<SeenCall> {
    const definition = typeof name?.value === "string" ? functionNamed(name.value) : undefined;
    if (definition === undefined || !givesOneValue(definition)) return;
    const blocks = columns.map((column) => {
      const [reference] = column.references;
      const isDown =
        column.shape.kind === "reference" && column.cell === undefined && reference !== undefined;
      return isDown ? this.blockOf(cell, reference) : undefined;
    });
    const height = Math.max(0, ...blocks.map((block) => block?.length ?? 0));
    for (let row = 0; row < height; row++) {
      const given = columns.map((column, i): SeenArgument => {
        const one = blocks[i]?.[row];
        return one === undefined ? column : { ...column, cell: one, value: one.value };
      });
      const at = this.cell(cell.sheet, { row: cell.row + row, column: cell.column });
      yield { id: definition.id, definition, cell: at, system: systemOf(definition, given), given };
    }
  }

  private target(home: SurveyedSheet, { sheet }: ReferenceShape): SurveyedSheet | undefined {
    return sheet === undefined ? home : this.survey.sheet(sheet);
  }

  private argument(home: SeenCell, shape: ArgumentShape): SeenArgument {
    switch (shape.kind) {
      case "left out":
        return { shape, value: null, cell: undefined, references: [] };
      case "literal":
        return { shape, value: shape.value, cell: undefined, references: [] };
      case "reference": {
        const references = [shape.reference];
        const cell = this.single(home, shape.reference);
        const value = cell === undefined ? this.valueOf(home, shape.reference) : cell.value;
        return { shape, value, cell, references };
      }
      case "worked out": {
        const references = [...shape.references.values()];
        const lookup = (text: string): Value => {
          const reference = shape.references.get(text);
          const value = reference === undefined ? undefined : this.valueOf(home, reference);
          if (value === undefined) throw new NotFollowed(text);
          return value;
        };
        return { shape, value: this.worked(shape.text, lookup), cell: undefined, references };
      }
    }
  }

  private worked(text: string, lookup: (reference: string) => Value): Value | undefined {
    try {
      return evaluate(text, lookup);
    } catch (error) {
      if (error instanceof NotFollowed || error instanceof Refusal || error instanceof SyntaxError)
        return undefined;
      throw error;
    }
  }

  private single(home: SeenCell, reference: ReferenceShape): SeenCell | undefined {
    const sheet = this.target(home.sheet, reference);
    const { top, left, bottom, right } = placed(reference, home);
    return sheet !== undefined && top === bottom && left === right
      ? this.cell(sheet, { row: top, column: left })
      : undefined;
  }

  private valueOf(home: SeenCell, reference: ReferenceShape): Value | undefined {
    const sheet = this.target(home.sheet, reference);
    if (sheet === undefined) return undefined;
    const single = this.single(home, reference);
    if (single !== undefined) return single.value;
    const block = placed(reference, home);
    if ((block.bottom - block.top) * (block.right - block.left + 1) > mostRead) return undefined;
    return Array.from({ length: block.bottom - block.top + 1 }, (_, down) =>
      Array.from(
        { length: block.right - block.left + 1 },
        (_column, across) => this.cell(sheet, { row: block.top + down, column: block.left + across }).value,
      ),
    );
  }

  /** The cells that an argument is made from, single ones only. */
  cellsOf(home: SeenCell, { references }: SeenArgument): readonly SeenCell[] {
    return references.flatMap((reference) => this.single(home, reference) ?? []);
  }

  /** The cells behind a reference, where they are few enough to be gone through. */
  blockOf(home: SeenCell, reference: ReferenceShape): readonly SeenCell[] {
    const sheet = this.target(home.sheet, reference);
    const block: Block = placed(reference, home);
    if (sheet === undefined || (block.bottom - block.top) * (block.right - block.left + 1) > mostRead)
      return [];
    return [...within(block)].map((at) => this.cell(sheet, at));
  }

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

/** A larger block is worked through by the spreadsheet alone. */
const mostRead = 5000;

/** What the whole workbook holds, asked cell by cell while formulas are rewritten. */
import type { WorksheetFunction } from "../../engine/formula";
import type { Call } from "./calls";
import type { Surroundings } from "./rewrite-calls";
import type { Value } from "./evaluate";
import { answerOf, evaluate, NotFollowed, spillOf } from "./evaluate";
import type { Block, SheetCells } from "../host";
import { blockOf, cellsOf, isFormula, placeOf } from "../host";

/** The rows of a column that hold a formula, in order. */
function formulaRows({ top, left, rows }: SheetCells, column: number): readonly number[] {
  const found: number[] = [];
  rows.forEach((cells, i) => {
    const cell = cells[column - left];
    if (cell !== undefined && isFormula(cell)) found.push(top + i);
  });
  return found;
}

/** Whether any of some rising numbers lies within two bounds. */
function anyWithin(rising: readonly number[], least: number, most: number): boolean {
  let [from, end] = [0, rising.length];
  while (from < end) {
    const middle = (from + end) >> 1;
    if ((rising[middle] ?? 0) < least) from = middle + 1;
    else end = middle;
  }
  return (rising[from] ?? Number.POSITIVE_INFINITY) <= most;
}

export class Knowledge {
  private readonly sheets: ReadonlyMap<string, SheetCells>;
  private readonly formulas = new Map<SheetCells, Map<number, readonly number[]>>();

  constructor(sheets: readonly SheetCells[]) {
    this.sheets = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  }

  private behind(reference: string, home: string): { sheet: SheetCells; block: Block } | undefined {
    const place = placeOf(reference, home);
    const sheet = place === undefined ? undefined : this.sheets.get(place.sheet.toLowerCase());
    const block = place === undefined ? undefined : blockOf(place.address);
    return sheet === undefined || block === undefined ? undefined : { sheet, block };
  }

  /** Asked for every reference of every formula: many may be of the same large range. */
  private holdsFormula({ sheet, block }: { sheet: SheetCells; block: Block }): boolean {
    const columns = this.formulas.get(sheet) ?? new Map<number, readonly number[]>();
    this.formulas.set(sheet, columns);
    const right = Math.min(block.right, sheet.left + sheet.width - 1);
    // A column at a time, when it is first asked for: all at once would hold long work up.
    for (let column = Math.max(block.left, sheet.left); column <= right; column++) {
      const rows = columns.get(column) ?? formulaRows(sheet, column);
      columns.set(column, rows);
      if (anyWithin(rows, block.top, block.bottom)) return true;
    }
    return false;
  }

  /** The value behind a reference as seen from a sheet. */
  valueAt(reference: string, home: string): Value {
    const found = this.behind(reference, home);
    if (found === undefined) throw new NotFollowed(`${reference} is worked out by the spreadsheet`);
    const values = cellsOf(found.sheet, found.block).map((row) => row.map(({ value }) => value));
    return values.length === 1 && values[0]?.length === 1 ? (values[0][0] ?? null) : values;
  }

  private asked({ definition, name, given }: Call, home: string): [WorksheetFunction, readonly Value[]] {
    if (definition === undefined) throw new NotFollowed(`${name} is not known to this edition`);
    return [definition, given.map((text) => evaluate(text, (reference) => this.valueAt(reference, home)))];
  }

  /** As seen from one sheet. A name or a table's column is taken as worked out: its cells are not known here. */
  from(home: string): Surroundings {
    return {
      isComputed: (reference) => {
        const found = this.behind(reference, home);
        return found === undefined || this.holdsFormula(found);
      },
      valueOf: (call) => answerOf(...this.asked(call, home)),
      spillOf: (call) => spillOf(...this.asked(call, home)),
    };
  }
}

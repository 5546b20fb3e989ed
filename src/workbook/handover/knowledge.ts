/** What the whole workbook holds, asked cell by cell while formulas are rewritten. */
import type { WorksheetFunction } from "../../engine/formula";
import type { Call, Surroundings } from "../calls";
import type { Value } from "../evaluate";
import { answerOf, evaluate, NotFollowed, spillOf } from "../evaluate";
import { blockOf, placeOf } from "../reference";
import type { CellContent, SheetCells } from "../sheets";
import { cellsOf, isFormula } from "../sheets";

export class Knowledge {
  private readonly sheets: ReadonlyMap<string, SheetCells>;

  constructor(sheets: readonly SheetCells[]) {
    this.sheets = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  }

  private cells(reference: string, home: string): readonly (readonly CellContent[])[] | undefined {
    const place = placeOf(reference, home);
    const sheet = place === undefined ? undefined : this.sheets.get(place.sheet.toLowerCase());
    const block = place === undefined ? undefined : blockOf(place.address);
    return sheet === undefined || block === undefined ? undefined : cellsOf(sheet, block);
  }

  /** The value behind a reference as seen from a sheet. */
  valueAt(reference: string, home: string): Value {
    const cells = this.cells(reference, home);
    if (cells === undefined) throw new NotFollowed(`${reference} is worked out by the spreadsheet`);
    const values = cells.map((row) => row.map(({ value }) => value));
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
        const cells = this.cells(reference, home);
        return cells === undefined || cells.some((row) => row.some(isFormula));
      },
      valueOf: (call) => answerOf(...this.asked(call, home)),
      spillOf: (call) => spillOf(...this.asked(call, home)),
    };
  }
}

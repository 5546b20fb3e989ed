/** What other people's formulas spill over the cells beside them: without the formula those cells would be empty. */
import type { Scalar } from "../evaluate";
import type { SheetCells } from "../sheets";
import { formulaCells } from "../sheets";
import type { CellPlace } from "./place";
import { placeKey } from "./place";

/** The cells that each spilling formula fills, itself first, by the formula's place. */
export class Spills {
  constructor(private readonly filled: ReadonlyMap<string, readonly (readonly Scalar[])[]> = new Map()) {}

  from(place: CellPlace): readonly (readonly Scalar[])[] | undefined {
    return this.filled.get(placeKey(place));
  }
}

/** A sum of single cells fills one cell; asking the host about every one of them would take long. */
const mayFillMore = (formula: string): boolean => /[(:#{[]/.test(formula);

/** Formulas asked about in one batch. */
const perBatch = 500;

export async function readSpills(
  context: Excel.RequestContext,
  sheets: readonly SheetCells[],
): Promise<Spills> {
  const filled = new Map<string, readonly (readonly Scalar[])[]>();
  // A host without spills has no cells that are filled by another cell's formula.
  if (!Office.context.requirements.isSetSupported("ExcelApi", "1.12")) return new Spills();
  const places = sheets.flatMap((sheet) =>
    formulaCells(sheet)
      .filter(({ formula }) => mayFillMore(formula))
      .map(({ row, column }) => ({ sheet: sheet.name, row, column })),
  );
  for (let from = 0; from < places.length; from += perBatch) {
    const asked = places.slice(from, from + perBatch).map((place) => {
      const { sheet, row, column } = place;
      const cell = context.workbook.worksheets.getItem(sheet).getRangeByIndexes(row, column, 1, 1);
      const range = cell.getSpillingToRangeOrNullObject();
      range.load("values");
      return { place, range };
    });
    await context.sync();
    for (const { place, range } of asked) {
      if (!range.isNullObject) filled.set(placeKey(place), range.values as Scalar[][]);
    }
  }
  return new Spills(filled);
}

/** Takes rows out of a sheet; what somebody typed there in that very moment is put back in rows of its own. */
import type { Range, RequestContext, Worksheet } from "../host";
import { asContent, asSent } from "../writing";

interface Rows {
  /** The first of them, counted from 0. */
  readonly row: number;
  readonly count: number;
}

const wholeRows = (sheet: Worksheet, { row, count }: Rows): Range =>
  sheet.getRange(`${row + 1}:${row + count}`);

const grid = (rows: unknown): readonly (readonly unknown[])[] => rows as readonly (readonly unknown[])[];

/** As it stood there, a text as that text. */
function sent({ formulas, values, numberFormat }: Range): (string | number | boolean)[][] {
  const [shown, formats] = [grid(values), grid(numberFormat)];
  return grid(formulas).map((cells, i) =>
    cells.map((content, j) => asSent(asContent(content, shown[i]?.[j]), String(formats[i]?.[j]))),
  );
}

/** Answers with the first of those rows that are there again, as they are counted by then. */
export async function takeRowsOut(
  context: RequestContext,
  sheet: Worksheet,
  runs: readonly Rows[],
): Promise<readonly number[]> {
  // From the last, so that the others stay where they are; what stands there is told just before it goes.
  const gone = [...runs].reverse().map((run) => {
    const rows = wholeRows(sheet, run);
    const typed = rows.getUsedRangeOrNullObject(true);
    typed.load("rowIndex,columnIndex,formulas,values,numberFormat");
    rows.delete("Up");
    return { run, typed };
  });
  await context.sync();
  const back: number[] = [];
  let taken = 0;
  for (const { run, typed } of gone.reverse()) {
    const rows = typed.isNullObject ? [] : sent(typed);
    for (let row = run.row; row < run.row + run.count; row++) {
      const cells = typed.isNullObject ? undefined : rows[row - typed.rowIndex];
      if (cells === undefined || cells.every((content) => content === "")) {
        taken++;
        continue;
      }
      wholeRows(sheet, { row: row - taken, count: 1 }).insert("Down");
      sheet.getRangeByIndexes(row - taken, typed.columnIndex, 1, cells.length).formulas = [cells];
      back.push(row - taken);
    }
  }
  if (back.length > 0) await context.sync();
  return back;
}

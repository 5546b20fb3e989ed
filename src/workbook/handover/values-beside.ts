/** Copies of sheets that hold values alone, beside the sheets themselves, which stay as they are. */
import type { CellContent, Progress, RequestContext, SheetCells, Worksheet } from "../host";
import {
  formulaCells,
  freeSheetName,
  isFormula,
  pass,
  readBlocks,
  readCalculatedSheets,
  showsError,
  WorkbookTrouble,
} from "../host";
import type { Cells } from "../writing";
import { columnRuns, withNewSheets, writeAndLook } from "../writing";
import { asWork, sheetsThere } from "../work";
import { Knowledge } from "../formulas";
import { idsOf } from "./rounds";
import { workingSheetName, workingRows, writeWorkingSheet } from "./working-sheet";

export interface ValuesBeside {
  /** The sheets that were added, in order. */
  readonly sheets: readonly string[];
  readonly cells: number;
}

/** Of a long name so much is kept that what follows it is whole. */
const mostKept = 20;

/** `Bid as values`, or the next name that is free. */
function namesFor(sheets: readonly SheetCells[], taken: readonly string[]): readonly string[] {
  const names: string[] = [];
  for (const { name } of sheets)
    names.push(freeSheetName(`${name.slice(0, mostKept)} as values`, [...taken, ...names]));
  return names;
}

function refuseErrors(sheet: SheetCells): void {
  const wrong = formulaCells(sheet).find(showsError);
  if (wrong === undefined) return;
  throw new WorkbookTrouble(
    `${sheet.name}!${wrong.address} shows ${String(wrong.value)}: put that right, then hand over.`,
  );
}

/** What a cell shows, for cells in which the copy has something else. */
function valuesFor(
  copy: Worksheet,
  source: SheetCells,
  isWanted: (cell: CellContent, row: number, column: number) => boolean,
): readonly Cells[] {
  const wanted = source.rows.flatMap((line, i) =>
    line.flatMap((cell, j) =>
      cell.value !== null && isWanted(cell, i, j)
        ? [{ sheet: source.name, row: source.top + i, column: source.left + j, value: cell.value }]
        : [],
    ),
  );
  return columnRuns(wanted).map(({ row, column, cells }) => ({
    sheet: copy,
    top: row,
    left: column,
    rows: cells.map(({ value }) => [value]),
  }));
}

/** The chosen sheets as they were read, whatever they are called by then. */
async function chosenAmong(
  context: RequestContext,
  ids: readonly string[],
  sheets: readonly SheetCells[],
): Promise<{ readonly copied: readonly string[]; readonly sources: readonly SheetCells[] }> {
  const there = await sheetsThere(context);
  const copied = ids.filter((id) => there.has(id));
  const sources = copied.map((id) => {
    const name = there.get(id)?.name ?? "";
    const source = sheets.find((sheet) => sheet.name === name);
    if (source === undefined) throw new WorkbookTrouble(`${name} was renamed while it was read: try again.`);
    return source;
  });
  return { copied, sources };
}

/** Adds a copy of each sheet with its values, and where it is asked for a sheet that lists the working. */
export const valuesBeside = (
  chosen: readonly string[],
  withWorking: boolean,
  progress: Progress,
): Promise<ValuesBeside> =>
  asWork({ work: "beside" }, async (context, mark) => {
    const ids = await idsOf(context, chosen);
    mark.isDoneAnewWith({ sheets: ids, withWorking });
    const sheets = await readCalculatedSheets(context, progress);
    const { copied, sources } = await chosenAmong(context, ids, sheets);
    sources.forEach(refuseErrors);
    return withNewSheets(context, mark, {
      copied,
      namesFor: (taken) => {
        const names = namesFor(sources, taken);
        return withWorking ? [...names, freeSheetName(workingSheetName, [...taken, ...names])] : names;
      },
      fill: async (copies) => {
        for (const [i, source] of sources.entries()) {
          pass(progress, i, sources.length, `Writing the values of ${source.name}`);
          const copy = copies[i];
          if (copy === undefined) continue;
          await writeAndLook(context, undefined, valuesFor(copy, source, isFormula), { progress });
          await fillSpilled(context, copy, source, progress);
        }
        const working = withWorking ? copies[sources.length] : undefined;
        if (working !== undefined)
          await writeWorkingSheet(context, working, workingRows(sources, new Knowledge(sheets)));
        for (const copy of copies) copy.load("name");
        copies[0]?.activate();
        await context.sync();
        return {
          sheets: copies.map(({ name }) => name),
          cells: sources.reduce((sum, source) => sum + formulaCells(source).length, 0),
        };
      },
    });
  });

/** Cells that a formula filled beside its own are empty now that it is gone: they are given what they showed. */
async function fillSpilled(
  context: RequestContext,
  copy: Worksheet,
  source: SheetCells,
  progress: Progress,
): Promise<void> {
  if (source.rows.length === 0) return;
  const block = {
    ...{ top: source.top, left: source.left },
    ...{ bottom: source.top + source.rows.length - 1, right: source.left + source.width - 1 },
  };
  const [now] = await readBlocks(context, [{ sheet: copy, block }], { progress });
  const emptied = valuesFor(
    copy,
    source,
    ({ value }, row, column) => value !== "" && (now?.values[row]?.[column] ?? "") === "",
  );
  await writeAndLook(context, undefined, emptied, { progress });
}

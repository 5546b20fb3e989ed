/**
 * A plain sheet that says what was typed into the sheets that were handed over, for all to see and delete. Beside each
 * figure stands a reference to its cell, so that anyone reads what is there now, and so that it is found again wherever
 * the cell has moved. The functions come back without it just the same.
 */
import type {
  CellContent,
  Content,
  FilledCell,
  Pieces,
  Place,
  Progress,
  RequestContext,
  SheetCells,
} from "../host";
import {
  blockOf,
  cellAddress,
  cellsOf,
  eachFilled,
  eachFormula,
  freeSheetName,
  isFormula,
  pass,
  placeOf,
  qualified,
  readBlocks,
  shareDown,
  showsError,
} from "../host";
import { mayHoldCalls, referencesIn } from "../formulas";
import { asFormula, columnRuns, withNewSheets, writeCells } from "../writing";
import type { Mark } from "../marks";
import { readCarrier } from "./carrier";
import type { CellPlace } from "./place";
import { downTheColumns, placeKey } from "./place";
import { showsTime } from "./reader/number-format";
import { sameContent } from "./same-content";

export type ChangeKind = "input" | "formula" | "formula overwritten" | "emptied" | "row or sheet deleted";

export interface CellEdit {
  readonly sheet: string;
  readonly address: string;
  readonly kind: ChangeKind;
  readonly old: string;
  readonly now: string;
}

export interface ListedEdit extends CellEdit {
  /** Where the list keeps what the cell held. */
  readonly listed: Place;
}

const opening = "What the sheets held when they were handed over";
const heads = ["Sheet", "Cell", "As handed over", "Now", ""] as const;
const explained =
  "Anyone may read, change or delete this sheet: nothing else hangs on it, and the functions come back without it.";
/** What stands above the lines, row by row. */
export const listHead: readonly (readonly string[])[] = [[opening], [explained], heads];
const firstRow = listHead.length;
const formulasOfOurs = "formulas, to be brought back";

export type Held = string | number | boolean;

/** A line of the list, and what its formulas show as long as nothing has changed. */
export interface Line {
  readonly cells: readonly [sheet: string, cell: string, held: Held, now: string, changed: string];
  readonly shown: Held;
  /** What is held is an error, and no text that reads like one. */
  readonly isError?: true;
}

/** Pieces of the work between two pauses, in a few milliseconds. */
const atATime = 100;

/** The references in the formulas of a sheet, each once. */
function* referencesOn(sheet: SheetCells): Pieces<ReadonlySet<string>> {
  const references = new Set<string>();
  let seen = 0;
  for (const cell of eachFormula(sheet)) {
    for (const reference of referencesIn(cell.formula)) references.add(reference);
    if (seen++ % atATime === 0) yield shareDown(sheet, cell);
  }
  return references;
}

/** Texts that formulas of the sheets read, by place: others are labels. */
function* textsRead(sheets: readonly SheetCells[]): Pieces<ReadonlySet<string>> {
  const byName = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  const read = new Set<string>();
  for (const home of sheets) {
    const references = yield* referencesOn(home);
    let seen = 0;
    for (const reference of references) {
      if (seen++ % atATime === 0) yield seen / references.size;
      const place = placeOf(reference, home.name);
      const sheet = place === undefined ? undefined : byName.get(place.sheet.toLowerCase());
      const block = place === undefined ? undefined : blockOf(place.address);
      if (sheet === undefined || block === undefined) continue;
      cellsOf(sheet, block).forEach((cells, i) =>
        cells.forEach(({ value }, j) => {
          if (typeof value === "string")
            read.add(placeKey({ sheet: sheet.name, row: block.top + i, column: block.left + j }));
        }),
      );
    }
  }
  return read;
}

/** Whether a cell was typed that counts: a figure, or such a text as formulas read. */
function isTyped(
  sheet: SheetCells,
  cell: FilledCell,
  read: ReadonlySet<string>,
  filledByFormulas: ReadonlySet<string>,
): boolean {
  if (isFormula(cell)) return false;
  const key = placeKey({ sheet: sheet.name, row: cell.row, column: cell.column });
  return !filledByFormulas.has(key) && (typeof cell.value !== "string" || read.has(key));
}

function inputLine(sheet: string, cell: FilledCell, i: number): Line {
  const { address, value } = cell;
  const [held, now] = [`C${i + 1}`, `D${i + 1}`];
  const changed = `=IF(ISERROR(${now}),"deleted",IF(EXACT(${held},${now}),"","changed"))`;
  const shown = value ?? "";
  return {
    cells: [sheet, address, shown, `=${qualified({ sheet, address })}`, changed],
    shown,
    ...(showsError(cell) ? { isError: true } : {}),
  };
}

/** Cells of ours one under another are one line: whatever stands among them later that is none of ours is a change. */
function runsOf(handed: readonly CellPlace[]): readonly { sheet: string; address: string; height: number }[] {
  const inColumns = [...handed].sort(downTheColumns);
  const runs: { sheet: string; column: number; top: number; bottom: number }[] = [];
  for (const { sheet, row, column } of inColumns) {
    const last = runs[runs.length - 1];
    if (last?.sheet === sheet && last.column === column && last.bottom + 1 === row) last.bottom = row;
    else runs.push({ sheet, column, top: row, bottom: row });
  }
  return runs.map(({ sheet, column, top, bottom }) => {
    const [first, last] = [cellAddress(top, column), cellAddress(bottom, column)];
    return { sheet, address: first === last ? first : `${first}:${last}`, height: bottom - top + 1 };
  });
}

/** The lines of the list for sheets as they were just before some of their cells were handed over. */
export function* linesFor(
  sheets: readonly SheetCells[],
  handed: readonly CellPlace[],
): Pieces<readonly Line[]> {
  const ours = new Set(handed.map(placeKey));
  const read = yield* textsRead(sheets);
  const lines: Line[] = [];
  for (const sheet of sheets) {
    let seen = 0;
    for (const cell of eachFilled(sheet)) {
      if (isTyped(sheet, cell, read, ours)) lines.push(inputLine(sheet.name, cell, firstRow + lines.length));
      if (seen++ % atATime === 0) yield shareDown(sheet, cell);
    }
  }
  for (const { height, ...run } of runsOf(handed))
    lines.push({
      cells: [run.sheet, run.address, formulasOfOurs, `=ROWS(${qualified(run)})`, ""],
      shown: height,
    });
  return lines;
}

/** Of its columns, in characters. */
export const listWidths = [16, 12, 28, 16, 10];
const pointsPerCharacter = 5.6;

/** Lines written in one batch: a stop must come through between two of them. */
const linesPerBatch = 500;

/** What is told of the work while the list is made. */
export const listingWhat = "Listing what was typed";

/** The formats of lines whose figure is a day or a time, as their cells show it. */
async function timeFormats(
  context: RequestContext,
  lines: readonly Line[],
  progress: Progress,
): Promise<ReadonlyMap<Line, string>> {
  const figures = lines.flatMap((line) => {
    const [sheet, cell, held] = line.cells;
    const block = typeof held === "number" ? blockOf(cell) : undefined;
    return block === undefined ? [] : [{ line, sheet, row: block.top, column: block.left }];
  });
  const runs = columnRuns(figures);
  const wanted = runs.map(({ sheet, row, column, cells }) => ({
    sheet: context.workbook.worksheets.getItem(sheet),
    block: { top: row, bottom: row + cells.length - 1, left: column, right: column },
  }));
  const read = await readBlocks(context, wanted, { formats: true, progress });
  const formats = new Map<Line, string>();
  for (const [i, { cells }] of runs.entries())
    for (const [down, { line }] of cells.entries()) {
      const format = String(read[i]?.formats[down]?.[0]);
      if (showsTime(format)) formats.set(line, format);
    }
  return formats;
}

const isoDay = (day: Date): string =>
  [day.getFullYear(), day.getMonth() + 1, day.getDate()]
    .map((part) => String(part).padStart(2, "0"))
    .join("-");

/** The name of a list that is made today. */
export const handedListName = (taken: readonly string[]): string =>
  freeSheetName(`Handed over on ${isoDay(new Date())}`, taken);

/** What is written for a line: its first three cells are what they say, and the others are worked out. */
const written = ({ cells: [sheet, cell, held, now, changed] }: Line): readonly Content[] => [
  sheet,
  cell,
  held,
  asFormula(now),
  changed === "" ? "" : asFormula(changed),
];

/** Writes the list onto a sheet of its own behind the others; answers with its name. */
export async function writeHandedList(
  context: RequestContext,
  mark: Mark,
  lines: readonly Line[],
  progress: Progress,
): Promise<string> {
  const times = await timeFormats(context, lines, progress);
  return withNewSheets(context, mark, {
    namesFor: (taken) => [handedListName(taken)],
    fill: async ([sheet]) => {
      if (sheet === undefined) return "";
      sheet.load("name");
      const head = sheet.getRange("A3:E3");
      head.format.font.bold = true;
      sheet.getRange("A1").format.font.bold = true;
      listWidths.forEach((width, i) => (head.getColumn(i).format.columnWidth = width * pointsPerCharacter));
      sheet.freezePanes.freezeRows(firstRow);
      sheet.pageLayout.setPrintTitleRows(`$1:$${firstRow}`);
      sheet.pageLayout.zoom = { horizontalFitToPages: 1 };
      const texts = listHead.map((row) => heads.map((_, i) => row[i] ?? ""));
      await writeCells(context, [{ sheet, top: 0, left: 0, rows: texts }]);
      for (let from = 0; from < lines.length; from += linesPerBatch) {
        pass(progress, from, lines.length, listingWhat);
        const batch = lines.slice(from, from + linesPerBatch);
        const formats = batch.map((line) => [times.get(line) ?? "General"]);
        const figures = sheet.getRangeByIndexes(firstRow + from, 2, batch.length, 2);
        for (const column of [0, 1]) figures.getColumn(column).numberFormat = formats;
        const rows = batch.map(written);
        await writeCells(context, [{ sheet, top: firstRow + from, left: 0, rows }]);
      }
      pass(progress, lines.length, lines.length, listingWhat);
      return sheet.name;
    },
  });
}

/** Whether a sheet is such a list. */
export const isHandedList = ({ top, left, rows }: SheetCells): boolean =>
  top === 0 && left === 0 && rows[0]?.[0]?.formula === opening;

/** Whether nobody has written anything of their own onto the list. */
export const isUntouchedList = (sheet: SheetCells): boolean =>
  isHandedList(sheet) &&
  sheet.width <= heads.length &&
  sheet.rows.slice(firstRow).every((row) => row[3]?.formula.startsWith("=") === true);

interface Kept {
  readonly sheet: string;
  readonly address: string;
  readonly held: string;
  /** Where it is now; undefined where it was deleted. */
  readonly reference: string | undefined;
}

function keptOn([sheet, cell, held, now]: readonly CellContent[]): readonly Kept[] {
  if (now?.formula.startsWith("=") !== true) return [];
  const [reference] = referencesIn(now.formula);
  return [
    { sheet: sheet?.formula ?? "", address: cell?.formula ?? "", held: held?.formula ?? "", reference },
  ];
}

/** A cell that is handed over, or has its function again. */
const isOurs = (formula: string): boolean =>
  formula === "" || mayHoldCalls(formula) || readCarrier(formula) !== undefined;

/** What others changed since, cell by cell, as far as the lists that are there can tell. */
export function* changesSince(sheets: readonly SheetCells[]): Pieces<readonly ListedEdit[]> {
  const byName = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  const edits: ListedEdit[] = [];
  for (const list of sheets.filter(isHandedList)) {
    for (const [i, row] of list.rows.slice(firstRow).entries()) {
      const listed = { sheet: list.name, address: `C${firstRow + i + 1}` };
      for (const kept of keptOn(row))
        edits.push(...changesOf(kept, list, byName).map((edit) => ({ ...edit, listed })));
      if (i % linesAtATime === 0) yield i / list.rows.length;
    }
  }
  return edits;
}

/** Lines that are gone through between two pauses. */
const linesAtATime = 20;

function changesOf(
  { sheet, address, held, reference }: Kept,
  list: SheetCells,
  byName: ReadonlyMap<string, SheetCells>,
): readonly CellEdit[] {
  const place = reference === undefined ? undefined : placeOf(reference, list.name);
  const block = place === undefined ? undefined : blockOf(place.address);
  const cells = place === undefined ? undefined : byName.get(place.sheet.toLowerCase());
  if (place === undefined || block === undefined || cells === undefined)
    return [{ sheet, address, kind: "row or sheet deleted", old: held, now: "" }];
  const there = cellsOf(cells, block).flatMap((row, i) =>
    row.map(({ formula }, j) => ({ formula, address: cellAddress(block.top + i, block.left + j) })),
  );
  return there.flatMap(({ formula, address: at }): readonly CellEdit[] => {
    if (held === formulasOfOurs)
      return isOurs(formula)
        ? []
        : [
            {
              sheet: place.sheet,
              address: at,
              kind: "formula overwritten",
              old: "a formula of ours",
              now: formula,
            },
          ];
    if (sameContent(held, formula)) return [];
    const kind = formula === "" ? "emptied" : formula.startsWith("=") ? "formula" : "input";
    return [{ sheet: place.sheet, address: at, kind, old: held, now: formula }];
  });
}

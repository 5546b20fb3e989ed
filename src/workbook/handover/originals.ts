/**
 * What a hand-over replaced, kept on a very hidden sheet: cells survive every program that can open the file, which
 * settings and custom parts do not.
 */
import type { InputLimit } from "../limits";
import { isOurOwn, originalsSheetName } from "../sheets";
import type { Moves, TrackedSheet } from "./moves";
import { movesFrom, trackersOf } from "./moves";

/** Where a cell stood when the hand-over was made; rows and columns count from 0. */
export interface KeptPlace {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
}

export interface Original extends KeptPlace {
  /** The formula as it was. */
  readonly original: string;
  /** What was written in its place. */
  readonly native: string | number;
}

/** What a cell held just after the hand-over. */
export interface SnapshotCell extends KeptPlace {
  readonly content: string;
}

export interface Kept {
  readonly formulas: readonly Original[];
  readonly limits: readonly InputLimit[];
  readonly snapshot: readonly SnapshotCell[];
  /** Sheets that the hand-over added, such as the list of workings. */
  readonly added: readonly string[];
}

export const nothingKept: Kept = { formulas: [], limits: [], snapshot: [], added: [] };

export interface KeptOriginals extends Kept {
  /** Where everything is now. */
  readonly moves: Moves;
  /** Keeps these instead; nothing left to keep takes the sheet away. */
  replace(kept: Kept, underWay?: boolean): Promise<void>;
}

const heading = "Swardsheet originals, edition 2";

/**
 * A few long cells instead of a row for each formula: a host pays for every cell. Marks at both ends keep a piece
 * from being read as a formula or a number, and its blanks from being trimmed.
 */
const pieceLength = 30_000;
const opens = "kept:";
const closes = ":kept";

/** Whether a text is a piece of ours, wherever a file keeps its texts. */
export const isKeptPiece = (text: string): boolean => text.startsWith(opens) && text.endsWith(closes);

/** Trackers stand in a column of their own, beside the pieces. */
const trackerColumn = 1;

interface Stored extends Kept {
  readonly tracked: readonly TrackedSheet[];
}

function inPieces(stored: Stored): readonly string[] {
  const text = JSON.stringify(stored);
  const starts = Array.from({ length: Math.ceil(text.length / pieceLength) }, (_, i) => i * pieceLength);
  return starts.map((start) => opens + text.slice(start, start + pieceLength) + closes);
}

const fromPieces = (pieces: readonly string[]): Stored =>
  pieces.length === 0
    ? { ...nothingKept, tracked: [] }
    : (JSON.parse(pieces.map((piece) => piece.slice(opens.length, -closes.length)).join("")) as Stored);

/** The rows and columns that anything kept stands in. */
function trackedSheets({ formulas, snapshot }: Kept): readonly TrackedSheet[] {
  const bySheet = new Map<string, { rows: Set<number>; columns: Set<number> }>();
  for (const { sheet, row, column } of [...formulas, ...snapshot]) {
    const one = bySheet.get(sheet) ?? { rows: new Set<number>(), columns: new Set<number>() };
    one.rows.add(row);
    one.columns.add(column);
    bySheet.set(sheet, one);
  }
  const sorted = (numbers: ReadonlySet<number>) => [...numbers].sort((a, b) => a - b);
  return [...bySheet].map(([sheet, { rows, columns }]) => ({
    sheet,
    rows: sorted(rows),
    columns: sorted(columns),
  }));
}

interface Found {
  readonly sheet: Excel.Worksheet | undefined;
  readonly freeName: string;
  readonly stored: Stored;
  readonly trackers: readonly string[];
}

/** Our sheet is known by its heading; one of the same name that is not ours is left alone. */
async function find(context: Excel.RequestContext): Promise<Found> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name");
  await context.sync();
  const candidates = worksheets.items
    .filter(({ name }) => isOurOwn(name))
    .map((sheet) => {
      const range = sheet.getUsedRangeOrNullObject(true);
      range.load("formulas");
      return { sheet, range };
    });
  if (candidates.length > 0) await context.sync();
  const names = worksheets.items.map(({ name }) => name.toLowerCase());
  const spare = [originalsSheetName, ...names.map((_, i) => `${originalsSheetName} ${i + 2}`)];
  const freeName = spare.find((name) => !names.includes(name.toLowerCase())) ?? originalsSheetName;
  const ours = candidates.find(({ range }) => !range.isNullObject && range.formulas[0]?.[0] === heading);
  const rows = ((ours?.range.formulas ?? []) as (string | number)[][]).slice(1);
  const column = (at: number) => rows.map((row) => String(row[at] ?? "")).filter((cell) => cell !== "");
  return { sheet: ours?.sheet, freeName, stored: fromPieces(column(0)), trackers: column(trackerColumn) };
}

/** Writes what is kept; without trackers while a hand-over is under way and nobody else can move a cell. */
async function write(
  context: Excel.RequestContext,
  sheet: Excel.Worksheet | undefined,
  freeName: string,
  kept: Kept,
  underWay: boolean,
): Promise<Excel.Worksheet | undefined> {
  if (kept.formulas.length === 0 && kept.limits.length === 0) {
    if (sheet !== undefined) {
      // A very hidden sheet refuses to be deleted.
      sheet.visibility = "Visible";
      sheet.delete();
    }
    await context.sync();
    return undefined;
  }
  const tracked = underWay ? [] : trackedSheets(kept);
  const { formulas, limits, snapshot, added } = kept;
  const pieces = inPieces({ formulas, limits, snapshot, added, tracked });
  const target = sheet ?? context.workbook.worksheets.add(freeName);
  sheet?.getRange().clear("Contents");
  const put = (cells: readonly string[], column: number) => {
    target.getRangeByIndexes(0, column, cells.length, 1).formulas = cells.map((cell) => [cell]);
  };
  put([heading, ...pieces], 0);
  put(["where the cells are now", ...trackersOf(tracked)], trackerColumn);
  target.visibility = "VeryHidden";
  await context.sync();
  return target;
}

export async function readOriginals(context: Excel.RequestContext): Promise<KeptOriginals> {
  const found = await find(context);
  const { formulas, limits, snapshot, added, tracked } = found.stored;
  const moves = movesFrom(tracked, found.trackers);
  let { sheet } = found;
  const replace = async (kept: Kept, underWay = false): Promise<void> => {
    sheet = await write(context, sheet, found.freeName, kept, underWay);
  };
  return { formulas, limits, snapshot, added, moves, replace };
}

/** Everything kept, with the places and formulas that it has now; what is gone is left out. */
export function keptNow({ formulas, limits, snapshot, added, moves }: KeptOriginals): Kept {
  return {
    limits: limits.flatMap((limit) => {
      const sheet = moves.sheet(limit.sheet);
      return sheet === undefined ? [] : [{ ...limit, sheet }];
    }),
    added,
    formulas: formulas.flatMap((one) => {
      const place = moves.cell(one.sheet, one.row, one.column);
      if (place === undefined) return [];
      const moved = (content: string | number) =>
        typeof content === "string" ? moves.formula(content, one.sheet) : content;
      return [{ ...place, original: moves.formula(one.original, one.sheet), native: moved(one.native) }];
    }),
    snapshot: snapshot.flatMap((one) => {
      const place = moves.cell(one.sheet, one.row, one.column);
      return place === undefined ? [] : [{ ...place, content: moves.formula(one.content, one.sheet) }];
    }),
  };
}

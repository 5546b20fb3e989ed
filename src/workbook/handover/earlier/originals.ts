/**
 * What an earlier edition's hand-over replaced: it kept the originals on a very hidden sheet. Nothing is written there
 * any more; what is found is read once more and brought back.
 */
import type { RequestContext } from "../../host";
import { blockOf, ownMarks, sheetsApart } from "../../host";
import type { CellPlace } from "../place";
import { longest } from "../../formulas";
import type { Moves, TrackedSheet } from "./moves";
import { movesFrom } from "./moves";

export interface EarlierOriginal extends CellPlace {
  /** The formula as it was; empty in a cell that another cell's formula filled. */
  readonly original: string;
  /** What was written in its place. */
  readonly native: string | number;
}

export interface EarlierLimit {
  readonly sheet: string;
  readonly address: string;
  readonly forSheets: readonly string[];
}

export interface EarlierEdition {
  readonly sheetName: string;
  readonly formulas: readonly EarlierOriginal[];
  readonly limits: readonly EarlierLimit[];
  /** Why nothing of it can be used. */
  readonly trouble?: string;
}

const [opens, closes] = ["kept:", ":kept"];

const isPiece = (text: string): boolean => text.startsWith(opens) && text.endsWith(closes);

/** Whether a text is one of the hidden sheet's, wherever a file keeps its texts. */
export const isKeptText = (text: string): boolean =>
  isPiece(text) || text === ownMarks.originals || text === ownMarks.setAside;

/** Trackers stand in a column of their own, beside the pieces. */
const trackerColumn = 1;

type Fields = Readonly<Record<string, unknown>>;

const isFields = (value: unknown): value is Fields => typeof value === "object" && value !== null;
const isCount = (value: unknown): value is number =>
  typeof value === "number" && Number.isInteger(value) && value >= 0;
const isTexts = (value: unknown): value is readonly string[] =>
  Array.isArray(value) && value.every((one) => typeof one === "string");
const isCounts = (value: unknown): value is readonly number[] => Array.isArray(value) && value.every(isCount);

const isOriginal = (one: unknown): one is EarlierOriginal =>
  isFields(one) &&
  typeof one.sheet === "string" &&
  isCount(one.row) &&
  isCount(one.column) &&
  typeof one.original === "string" &&
  one.original.length <= longest.cell &&
  (typeof one.native === "string" || typeof one.native === "number");

const isLimit = (one: unknown): one is EarlierLimit =>
  isFields(one) &&
  typeof one.sheet === "string" &&
  typeof one.address === "string" &&
  blockOf(one.address) !== undefined &&
  isTexts(one.forSheets);

const isTracked = (one: unknown): one is TrackedSheet =>
  isFields(one) && typeof one.sheet === "string" && isCounts(one.rows) && isCounts(one.columns);

const listed = <T>(value: unknown, is: (one: unknown) => one is T): readonly T[] | undefined =>
  Array.isArray(value) && value.every(is) ? value : undefined;

interface Stored extends Omit<EarlierEdition, "sheetName" | "trouble"> {
  readonly tracked: readonly TrackedSheet[];
}

/** What the pieces say together; undefined where someone has damaged them. */
function stored(pieces: readonly string[]): Stored | undefined {
  if (!pieces.every(isPiece)) return undefined;
  let read: unknown;
  try {
    read = JSON.parse(pieces.map((piece) => piece.slice(opens.length, -closes.length)).join(""));
  } catch {
    return undefined;
  }
  if (!isFields(read)) return undefined;
  const formulas = listed(read.formulas, isOriginal);
  const limits = listed(read.limits, isLimit);
  const tracked = listed(read.tracked, isTracked);
  return formulas === undefined || limits === undefined || tracked === undefined
    ? undefined
    : { formulas, limits, tracked };
}

interface Candidate {
  readonly name: string;
  readonly rows: readonly (readonly string[])[];
}

async function candidates(context: RequestContext): Promise<readonly Candidate[]> {
  const { own } = await sheetsApart(context);
  const found = own.map((sheet) => {
    const range = sheet.getUsedRangeOrNullObject(true);
    range.load("formulas");
    return { name: sheet.name, range };
  });
  if (found.length > 0) await context.sync();
  return found.flatMap(({ name, range }) =>
    range.isNullObject ? [] : [{ name, rows: range.formulas.map((row) => row.map(String)) }],
  );
}

const damaged =
  "The originals that an earlier edition kept in this workbook are damaged: what it handed over stays as it is.";

/** Where everything is that is still there. */
function movedBy(moves: Moves, { formulas, limits }: Stored): Omit<EarlierEdition, "sheetName"> {
  const nothingLost = (content: string | number, home: string) =>
    typeof content === "string" ? moves.formula(content, home) : content;
  return {
    limits: limits.flatMap((limit) => {
      const sheet = moves.sheet(limit.sheet);
      const forSheets = limit.forSheets.map((home) => moves.sheet(home) ?? home);
      return sheet === undefined ? [] : [{ ...limit, sheet, forSheets }];
    }),
    formulas: formulas.flatMap(({ original, native, ...from }) => {
      const place = moves.cell(from.sheet, from.row, from.column);
      if (place === undefined) return [];
      const { sheet } = from;
      return [{ ...place, original: moves.formula(original, sheet), native: nothingLost(native, sheet) }];
    }),
  };
}

/** The title that an earlier edition gave to the messages of its limits. */
export const earlierLimitTitle = "What belongs in this cell";

/** What an earlier edition keeps in the workbook; undefined where there is nothing of it. */
export async function readEarlierEdition(context: RequestContext): Promise<EarlierEdition | undefined> {
  const ours = (await candidates(context)).find(({ rows }) => rows[0]?.[0] === ownMarks.originals);
  if (ours === undefined) return undefined;
  const rows = ours.rows.slice(1);
  const column = (at: number) => rows.map((row) => row[at] ?? "").filter((cell) => cell !== "");
  const nothing = { formulas: [], limits: [] };
  const kept = stored(column(0));
  if (kept === undefined) return { sheetName: ours.name, ...nothing, trouble: damaged };
  return { sheetName: ours.name, ...movedBy(movesFrom(kept.tracked, column(trackerColumn)), kept) };
}

/**
 * What a hand-over replaced, kept on a very hidden sheet: cells survive every program that can open the file, which
 * settings and custom parts do not.
 */
import type { InputLimit } from "./limits";
import { isOurOwn, originalsSheetName } from "./sheets";

export interface Original {
  readonly sheet: string;
  readonly address: string;
  /** The formula as it was. */
  readonly original: string;
  /** What was written in its place. */
  readonly native: string | number;
}

export interface Kept {
  readonly formulas: readonly Original[];
  readonly limits: readonly InputLimit[];
}

export interface KeptOriginals extends Kept {
  /** Keeps these instead; nothing left to keep takes the sheet away. */
  replace(kept: Kept): Promise<void>;
}

const heading = "Swardsheet originals, edition 1";

/**
 * A few long cells instead of a row for each formula: a host pays for every cell. Marks at both ends keep a piece
 * from being read as a formula or a number, and its blanks from being trimmed.
 */
const pieceLength = 30_000;
const opens = "kept:";
const closes = ":kept";

const originalOf = ({ sheet, address, original, native }: Original): Original => ({
  sheet,
  address,
  original,
  native,
});
const limitOf = ({ sheet, address, forSheets }: InputLimit): InputLimit => ({ sheet, address, forSheets });

function piecesOf(kept: Kept): readonly string[] {
  const text = JSON.stringify({ formulas: kept.formulas.map(originalOf), limits: kept.limits.map(limitOf) });
  const starts = Array.from({ length: Math.ceil(text.length / pieceLength) }, (_, i) => i * pieceLength);
  return starts.map((start) => opens + text.slice(start, start + pieceLength) + closes);
}

function keptIn(pieces: readonly string[]): Kept {
  if (pieces.length === 0) return { formulas: [], limits: [] };
  return JSON.parse(pieces.map((piece) => piece.slice(opens.length, -closes.length)).join("")) as Kept;
}

interface Found {
  readonly sheet: Excel.Worksheet | undefined;
  readonly freeName: string;
  readonly pieces: readonly string[];
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
      range.load("values");
      return { sheet, range };
    });
  if (candidates.length > 0) await context.sync();
  const names = worksheets.items.map(({ name }) => name.toLowerCase());
  const spare = [originalsSheetName, ...names.map((_, i) => `${originalsSheetName} ${i + 2}`)];
  const freeName = spare.find((name) => !names.includes(name.toLowerCase())) ?? originalsSheetName;
  const ours = candidates.find(({ range }) => !range.isNullObject && range.values[0]?.[0] === heading);
  const cells = (ours?.range.values ?? []) as unknown[][];
  return { sheet: ours?.sheet, freeName, pieces: cells.slice(1).map(([piece]) => String(piece)) };
}

async function write(context: Excel.RequestContext, found: Found, kept: Kept): Promise<void> {
  if (kept.formulas.length === 0 && kept.limits.length === 0) {
    if (found.sheet !== undefined) {
      // A very hidden sheet refuses to be deleted.
      found.sheet.visibility = "Visible";
      found.sheet.delete();
    }
    await context.sync();
    return;
  }
  const sheet = found.sheet ?? context.workbook.worksheets.add(found.freeName);
  found.sheet?.getRange().clear("Contents");
  const column = [heading, ...piecesOf(kept)].map((cell) => [cell]);
  sheet.getRangeByIndexes(0, 0, column.length, 1).values = column;
  sheet.visibility = "VeryHidden";
  await context.sync();
}

export async function readOriginals(context: Excel.RequestContext): Promise<KeptOriginals> {
  const found = await find(context);
  return { ...keptIn(found.pieces), replace: (kept) => write(context, found, kept) };
}

/** Adds to what is kept. The answer takes the addition back. */
export async function keepOriginals(
  context: Excel.RequestContext,
  added: Kept,
): Promise<() => Promise<void>> {
  const before = await readOriginals(context);
  if (added.formulas.length === 0) return () => Promise.resolve();
  await before.replace({
    formulas: [...before.formulas, ...added.formulas],
    limits: [...before.limits, ...added.limits],
  });
  return async () => {
    const now = await readOriginals(context);
    await now.replace({ formulas: before.formulas, limits: before.limits });
  };
}

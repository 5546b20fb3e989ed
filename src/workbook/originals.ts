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

const heading = ["Swardsheet originals", "edition 1", "", "", ""];

/** Cells hold text; a mark in front keeps a formula from being read as one. */
const mark = "kept ";
const asText = (value: unknown): string => mark + JSON.stringify(value);
const fromText = (cell: unknown): unknown => JSON.parse(String(cell).slice(mark.length)) as unknown;

const formulaRow = ({ sheet, address, original, native }: Original): string[] => [
  "formula",
  asText(sheet),
  address,
  asText(original),
  asText(native),
];
const limitRow = ({ sheet, address, forSheets }: InputLimit): string[] => [
  "limit",
  asText(sheet),
  address,
  asText(forSheets),
  "",
];

function readRows(rows: readonly (readonly unknown[])[]): Kept {
  const of = (kind: string) => rows.filter(([first]) => first === kind);
  return {
    formulas: of("formula").map(([, sheet, address, original, native]) => ({
      sheet: String(fromText(sheet)),
      address: String(address),
      original: String(fromText(original)),
      native: fromText(native) as string | number,
    })),
    limits: of("limit").map(([, sheet, address, forSheets]) => ({
      sheet: String(fromText(sheet)),
      address: String(address),
      forSheets: fromText(forSheets) as string[],
    })),
  };
}

interface Found {
  readonly sheet: Excel.Worksheet | undefined;
  readonly freeName: string;
  readonly rows: readonly (readonly unknown[])[];
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
  const ours = candidates.find(({ range }) => !range.isNullObject && range.values[0]?.[0] === heading[0]);
  return {
    sheet: ours?.sheet,
    freeName,
    rows: ours === undefined ? [] : (ours.range.values as unknown[][]).slice(1),
  };
}

async function write(context: Excel.RequestContext, found: Found, kept: Kept): Promise<void> {
  const rows = [...kept.formulas.map(formulaRow), ...kept.limits.map(limitRow)];
  if (rows.length === 0) {
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
  const table = [heading, ...rows];
  sheet.getRangeByIndexes(0, 0, table.length, heading.length).values = table;
  sheet.visibility = "VeryHidden";
  await context.sync();
}

export async function readOriginals(context: Excel.RequestContext): Promise<KeptOriginals> {
  const found = await find(context);
  return { ...readRows(found.rows), replace: (kept) => write(context, found, kept) };
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
    await now.replace(before);
  };
}

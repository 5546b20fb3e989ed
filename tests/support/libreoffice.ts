import { execFile, spawn } from "node:child_process";
import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { strToU8, zipSync } from "fflate";

/** A cell as LibreOffice holds it after recalculation. An error is its text, such as "#DIV/0!"; null is an empty cell. */
export type CellValue = string | number | boolean | null;

/** The cells of each sheet by sheet name, from A1 to the last row and column in use. */
export type SheetValues = Map<string, CellValue[][]>;

/** What to put in one cell; a text that begins with "=" is a formula. */
export interface CellContent {
  readonly sheet: string;
  readonly address: string;
  readonly content: string | number | boolean;
}

/** What a cell holds by its address; nothing where it lies beyond those in use. */
export function valueIn(sheets: SheetValues, { sheet, address }: Omit<CellContent, "content">): CellValue {
  const { row, column } = position(address);
  return sheets.get(sheet)?.[row - 1]?.[column - 1] ?? null;
}

interface RunOptions {
  /** After this long the process is ended and the call fails. */
  readonly timeoutMs?: number;
}

const profileTemplate = fileURLToPath(new URL("libreoffice-profile", import.meta.url));

/** Every value of the workbook, recalculated from its formulas, to the last bit. */
export async function recalculate(xlsx: Uint8Array, options: RunOptions = {}): Promise<SheetValues> {
  return inFreshFolder(async (folder) => {
    const source = join(folder, "workbook.xlsx");
    const target = join(folder, "cells.txt");
    await writeFile(source, xlsx);
    const call = `WriteCells("${pathToFileURL(source).href}","${pathToFileURL(target).href}")`;
    await runOffice(folder, [`macro:///Standard.CellReader.${call}`], options);
    return parseCells(await readResult(target));
  });
}

/** How long LibreOffice takes to calculate the workbook as a whole, so many times, in milliseconds. */
export async function calculationTimes(
  xlsx: Uint8Array,
  rounds: number,
  options: RunOptions = {},
): Promise<readonly number[]> {
  return inFreshFolder(async (folder) => {
    const [source, target] = [join(folder, "workbook.xlsx"), join(folder, "times.txt")];
    await writeFile(source, xlsx);
    const [from, to] = [source, target].map((path) => pathToFileURL(path).href);
    await runOffice(
      folder,
      [`macro:///Standard.CellReader.TimeCalculation("${from}","${to}",${rounds})`],
      options,
    );
    const times = new TextDecoder()
      .decode(await readResult(target))
      .trim()
      .split("\n")
      .map(Number);
    if (times.length !== rounds) throw new Error("LibreOffice could not calculate the workbook.");
    return times;
  });
}

/** Recalculates a workbook that holds just these cells. */
export async function recalculateFormulas(
  cells: readonly CellContent[],
  options: RunOptions = {},
): Promise<SheetValues> {
  return recalculate(plainWorkbook(cells), options);
}

/** The workbook as LibreOffice prints it. */
export async function toPdf(xlsx: Uint8Array, options: RunOptions = {}): Promise<Uint8Array> {
  return inFreshFolder(async (folder) => {
    const source = join(folder, "workbook.xlsx");
    await writeFile(source, xlsx);
    await runOffice(folder, ["--convert-to", "pdf", "--outdir", folder, source], options);
    return readResult(join(folder, "workbook.pdf"));
  });
}

/** The words on each page that LibreOffice prints. */
export async function printedPages(xlsx: Uint8Array, options: RunOptions = {}): Promise<readonly string[]> {
  const pdf = await toPdf(xlsx, options);
  return inFreshFolder(async (folder) => {
    const [source, target] = [join(folder, "workbook.pdf"), join(folder, "workbook.txt")];
    await writeFile(source, pdf);
    await promisify(execFile)("pdftotext", ["-layout", source, target]);
    return (await readFile(target, "utf8")).split("\f").slice(0, -1);
  });
}

/** An edit as office staff would make it; rows count from 0. */
export type Edit =
  | readonly [kind: "set", sheet: string, address: string, typed: string]
  | readonly [kind: "insert" | "delete", sheet: string, row: number, count: number]
  | readonly [kind: "insert columns" | "delete columns", sheet: string, column: number, count: number]
  | readonly [kind: "copy" | "move", sheet: string, range: string, to: string]
  | readonly [kind: "sort", sheet: string, range: string, by: number, way: "up" | "down"]
  | readonly [kind: "rename", sheet: string, name: string];

/** The workbook after the edits, saved as xlsx by LibreOffice. */
export async function edited(
  xlsx: Uint8Array,
  edits: readonly Edit[],
  options: RunOptions = {},
): Promise<Uint8Array> {
  return inFreshFolder(async (folder) => {
    const [source, list, target] = ["workbook.xlsx", "edits.txt", "edited.xlsx"].map((name) =>
      join(folder, name),
    );
    if (source === undefined || list === undefined || target === undefined)
      throw new Error("No folder to work in.");
    await writeFile(source, xlsx);
    await writeFile(list, edits.map((edit) => edit.join("\t")).join("\n"));
    const [from, what, to] = [source, list, target].map((path) => pathToFileURL(path).href);
    await runOffice(folder, [`macro:///Standard.CellEditor.EditCells("${from}","${what}","${to}")`], options);
    return readResult(target);
  });
}

/** What a formula shows: its number, or only that it is a text or an error. */
export type Shown = number | "text" | "error";

/** What the formulas show, by `sheet!row,column` from 0. */
export type ShownByFormulas = ReadonlyMap<string, Shown>;

/** What every formula shows, and what else they show when one cell after another is typed into for a while. */
export async function tried(
  xlsx: Uint8Array,
  inputs: readonly (readonly [sheet: string, address: string, typed: string])[],
  options: RunOptions = {},
): Promise<{ readonly all: ShownByFormulas; readonly changes: readonly ShownByFormulas[] }> {
  return inFreshFolder(async (folder) => {
    const [source = "", list = "", target = ""] = ["workbook.xlsx", "inputs.txt", "shown.txt"].map((name) =>
      join(folder, name),
    );
    await writeFile(source, xlsx);
    await writeFile(list, inputs.map((input) => input.join("\t")).join("\n"));
    const [from, what, to] = [source, list, target].map((path) => pathToFileURL(path).href);
    await runOffice(folder, [`macro:///Standard.CellEditor.TryCells("${from}","${what}","${to}")`], options);
    const rounds: Map<string, Shown>[] = [];
    for (const line of new TextDecoder()
      .decode(await readResult(target))
      .split("\n")
      .slice(0, -1)) {
      const [sheet = "", row, column, kind, number] = line.split("\t");
      if (row === undefined) rounds.push(new Map());
      else {
        const shown = kind === "n" ? Number(number) : kind === "t" ? "text" : "error";
        rounds[rounds.length - 1]?.set(`${sheet}!${row},${column}`, shown);
      }
    }
    const [all = new Map<string, Shown>(), ...changes] = rounds;
    return { all, changes };
  });
}

/** Calls in parallel must share neither files nor a profile: a second process on one profile hands over and exits. */
async function inFreshFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), "swardsheet-office-"));
  try {
    await cp(profileTemplate, join(folder, "profile", "user"), { recursive: true });
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
  }
}

async function runOffice(
  folder: string,
  what: readonly string[],
  { timeoutMs = 120_000 }: RunOptions,
): Promise<void> {
  const profile = pathToFileURL(join(folder, "profile")).href;
  const args = ["--headless", "--norestore", `-env:UserInstallation=${profile}`, ...what];
  // The command is a launcher that starts others; a group of its own lets all of them be ended together.
  const office = spawn("soffice", args, { detached: true, stdio: "ignore" });
  let expired = false;
  const timer = setTimeout(() => {
    expired = true;
    endGroup(office.pid);
  }, timeoutMs);
  try {
    await new Promise<void>((resolve, reject) => {
      office.once("error", (cause) => {
        reject(new Error("LibreOffice could not be started: install libreoffice-calc.", { cause }));
      });
      office.once("close", () => {
        resolve();
      });
    });
  } finally {
    clearTimeout(timer);
  }
  if (expired) throw new Error(`LibreOffice was not done after ${timeoutMs} ms and was ended.`);
}

function endGroup(leader: number | undefined): void {
  if (leader === undefined) return;
  try {
    process.kill(-leader, "SIGKILL");
  } catch {
    // It ended by itself in the meantime.
  }
}

async function readResult(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (cause) {
    throw new Error("LibreOffice wrote no result: it could not open the workbook.", { cause });
  }
}

function parseCells(written: Uint8Array): SheetValues {
  const sheets: SheetValues = new Map();
  let rows: CellValue[][] = [];
  let row: CellValue[] = [];
  for (const line of new TextDecoder().decode(written).split("\n").slice(0, -1)) {
    const [kind, first = "", low, exponent] = line.split("\t");
    if (kind === "sheet") sheets.set(unescaped(first), (rows = []));
    else if (kind === "row") rows.push((row = []));
    else if (kind === "empty") row.push(...Array<null>(Number(first)).fill(null));
    else if (kind === "number")
      row.push(((Number(first) + Number(low) / 2 ** 27) / 2 ** 26) * 2 ** Number(exponent));
    else if (kind === "logical") row.push(first === "1");
    else if (kind === "text") row.push(unescaped(first));
    else if (kind === "error") row.push(errorNames[first] ?? first);
    else throw new Error(`LibreOffice could not read the workbook: ${unescaped(first)}`);
  }
  return sheets;
}

/** Errors that LibreOffice shows by number alone, under the names that it saves them by in xlsx. */
const errorNames: Readonly<Record<string, string>> = { "Err:502": "#VALUE!", "Err:503": "#NUM!" };

function unescaped(text: string): string {
  const meant: Readonly<Record<string, string>> = { t: "\t", n: "\n", r: "\r" };
  return text.replace(/\\(.)/g, (_, letter: string) => meant[letter] ?? letter);
}

const mainNamespace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const relationNamespace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packageNamespace = "http://schemas.openxmlformats.org/package/2006";
const contentType = "application/vnd.openxmlformats-officedocument.spreadsheetml";

/** The least that an xlsx needs: values and formulas, no styles and no cached results. */
export function plainWorkbook(cells: readonly CellContent[]): Uint8Array {
  const sheets = [...grouped(cells, ({ sheet }) => sheet)];
  const numbered = <T>(each: (sheet: string, number: number) => T): T[] =>
    sheets.map(([name], index) => each(name, index + 1));
  const parts: Record<string, string> = {
    "[Content_Types].xml":
      `<Types xmlns="${packageNamespace}/content-types">` +
      `<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
      `<Override PartName="/xl/workbook.xml" ContentType="${contentType}.sheet.main+xml"/>` +
      numbered(
        (_, n) => `<Override PartName="/xl/sheet${n}.xml" ContentType="${contentType}.worksheet+xml"/>`,
      ).join("") +
      `</Types>`,
    "_rels/.rels": relations([{ type: "officeDocument", target: "xl/workbook.xml" }]),
    "xl/workbook.xml":
      `<workbook xmlns="${mainNamespace}" xmlns:r="${relationNamespace}"><sheets>` +
      numbered((name, n) => `<sheet name="${escapeXml(name)}" sheetId="${n}" r:id="rId${n}"/>`).join("") +
      `</sheets></workbook>`,
    "xl/_rels/workbook.xml.rels": relations(
      numbered((_, n) => ({ type: "worksheet", target: `sheet${n}.xml` })),
    ),
  };
  sheets.forEach(([, content], index) => {
    parts[`xl/sheet${index + 1}.xml`] = sheetPart(content);
  });
  return zipSync(
    Object.fromEntries(Object.entries(parts).map(([path, xml]) => [path, strToU8(xmlHead + xml)])),
    { level: 1 },
  );
}

const xmlHead = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`;

function relations(list: readonly { type: string; target: string }[]): string {
  const items = list.map(
    ({ type, target }, index) =>
      `<Relationship Id="rId${index + 1}" Type="${relationNamespace}/${type}" Target="${target}"/>`,
  );
  return `<Relationships xmlns="${packageNamespace}/relationships">${items.join("")}</Relationships>`;
}

function sheetPart(cells: readonly CellContent[]): string {
  const placed = cells.map((cell) => ({ ...cell, ...position(cell.address) }));
  const rows = [...grouped(placed, ({ row }) => row)].sort(([one], [other]) => one - other);
  const xml = rows.map(([row, inRow]) => {
    const inOrder = [...inRow].sort((one, other) => one.column - other.column);
    return `<row r="${row}">${inOrder.map(cellPart).join("")}</row>`;
  });
  return `<worksheet xmlns="${mainNamespace}"><sheetData>${xml.join("")}</sheetData></worksheet>`;
}

function cellPart({ address, content }: CellContent): string {
  if (typeof content === "boolean") return `<c r="${address}" t="b"><v>${Number(content)}</v></c>`;
  if (typeof content === "number") return `<c r="${address}"><v>${content}</v></c>`;
  if (content.startsWith("=")) return `<c r="${address}"><f>${escapeXml(content.slice(1))}</f></c>`;
  return `<c r="${address}" t="inlineStr"><is><t xml:space="preserve">${escapeXml(content)}</t></is></c>`;
}

export function grouped<Item, Key>(items: readonly Item[], keyOf: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group) group.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return groups;
}

export function position(address: string): { row: number; column: number } {
  const [, letters, digits] = /^([A-Z]{1,3})([1-9]\d*)$/.exec(address) ?? [];
  if (letters === undefined || digits === undefined)
    throw new Error(`"${address}" is no cell address such as B2.`);
  const column = [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);
  return { row: Number(digits), column };
}

function escapeXml(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("\n", "&#10;")
    .replaceAll("\r", "&#13;")
    .replaceAll("\t", "&#9;");
}

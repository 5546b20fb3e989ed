import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const names = [
  "calculated.xlsm",
  "plain.xlsx",
  "kept.xlsm",
  "loose.xlsx",
  "rules.xlsx",
  "beds.xlsx",
] as const;

/** The Debian packages are installed for the system's own Python, whatever other one stands before it. */
const python = "/usr/bin/python3";

const script = (name: string): string => fileURLToPath(new URL(name, import.meta.url));

function inFolder<T>(work: (folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), "swardsheet-libraries-"));
  try {
    return work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Workbooks with our functions as other libraries write them; what is in them is told in the script. */
export const libraryWorkbooks = (): Readonly<Record<(typeof names)[number], Uint8Array>> =>
  inFolder((folder) => {
    execFileSync(python, ["-W", "ignore", script("other-libraries.py"), folder]);
    return Object.fromEntries(names.map((name) => [name, readFileSync(join(folder, name))])) as never;
  });

type ByAddress<Value> = Readonly<Record<string, Readonly<Record<string, Value>>>>;

const readByLibrary = <Value>(reader: string, xlsx: Uint8Array): ByAddress<Value> =>
  inFolder((folder) => {
    const file = join(folder, "workbook.xlsx");
    writeFileSync(file, xlsx);
    const read = execFileSync(python, ["-W", "ignore", script(reader), file], { encoding: "utf8" });
    return JSON.parse(read) as never;
  });

/** The notes of a workbook as openpyxl reads them, by sheet and address. */
export const notesByLibrary = (xlsx: Uint8Array): ByAddress<string> => readByLibrary("read-notes.py", xlsx);

/** What the cells of a workbook hold as openpyxl reads them, by sheet and address. */
export const cellsByLibrary = (xlsx: Uint8Array): ByAddress<string | number | boolean> =>
  readByLibrary("read-cells.py", xlsx);

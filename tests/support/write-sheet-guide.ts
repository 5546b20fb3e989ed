/** Writes what the sheets of a bid are declared to hold as a page, and which folders read which as a table. */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { bidFigures, bidTables } from "../../src/workbook/bid/declarations";
import type { Declared } from "../../src/workbook/bid/declare/declared";
import { namedIn, unitOf } from "../../src/workbook/bid/declare/declared";
import { partName } from "../../src/workbook/bid/declare/table";
import type { BidSheet } from "../../src/workbook/bid/kit";
import { bidSheetNames } from "../../src/workbook/bid/kit";
import { fill, table } from "./tables-in-text";

const units = (declared: Declared): string =>
  [...new Set([unitOf(declared, "us"), unitOf(declared, "metric")])]
    .filter((unit) => unit !== undefined)
    .join("; ");

const whence = ({ takes, isFromLabel }: Declared): string =>
  isFromLabel === true ? "from the label" : takes === undefined ? "" : "filled in";

const line = (part: string, id: string, declared: Declared): readonly string[] => [
  namedIn(declared, "us").name,
  units(declared),
  `\`${partName(part, id)}\``,
  whence(declared),
  declared.says,
];

function sheetGuide(which: BidSheet): string {
  const tables = bidTables
    .filter(({ sheet }) => sheet === which)
    .map(({ id, columns }) =>
      Object.entries(columns).map(([column, declared]) => line(id, column, declared)),
    );
  const figures = bidFigures
    .filter(({ sheet }) => sheet === which)
    .map(({ id, figures: all }) =>
      Object.entries(all).map(([figure, declared]) => line(id, figure, declared)),
    );
  const heads = ["what", "unit", "name in the workbook", "whence", "what it is"];
  return [...figures, ...tables].map((rows) => table(heads, rows)).join("\n\n");
}

const guide = (Object.entries(bidSheetNames) as [BidSheet, string][])
  .map(([which, name]) => ({ name, text: sheetGuide(which) }))
  .filter(({ text }) => text !== "")
  .map(({ name, text }) => `## ${name}\n\n${text}`)
  .join("\n\n");

const workbook = fileURLToPath(new URL("../../src/workbook", import.meta.url));

const sourceFiles = (folder: string): readonly string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sourceFiles(path);
    return entry.name.endsWith(".ts") ? [path] : [];
  });

/** The folder of `src/workbook` that a file is in; "(loose)" for those in none. */
function roomOf(path: string): string | undefined {
  const inside = relative(workbook, path);
  if (inside.startsWith("..")) return undefined;
  const [first = "", ...rest] = inside.split("/");
  return rest.length === 0 ? "(loose)" : first;
}

function importTable(): string {
  const counts = new Map<string, Map<string, number>>();
  for (const file of sourceFiles(workbook)) {
    const from = roomOf(file) ?? "";
    for (const [, target = ""] of readFileSync(file, "utf8").matchAll(/ from "(\.[^"]*)";/g)) {
      const to = roomOf(`${join(dirname(file), target)}.ts`);
      if (to === undefined || to === from) continue;
      const row = counts.get(from) ?? new Map<string, number>();
      counts.set(from, row.set(to, (row.get(to) ?? 0) + 1));
    }
  }
  const rooms = [
    ...new Set([...counts.keys(), ...[...counts.values()].flatMap((row) => [...row.keys()])]),
  ].sort();
  return table(
    ["from \\ to", ...rooms],
    rooms.map((from) => [from, ...rooms.map((to) => String(counts.get(from)?.get(to) ?? ""))]),
  );
}

await fill("src/workbook/bid/SHEETS.md", "sheets", guide);
await fill("DEVELOPERS.md", "imports", importTable());

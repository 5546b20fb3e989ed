/** Writes which sheets a bid has and what they are declared to hold, and which folders read which as a table. */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { bidFigures, bidSheets, bidTables, sheetOfBid } from "../../src/workbook/bid/bid-sheets";
import type { Declared } from "../../src/workbook/bid/declare/declared";
import { namedIn, unitOf } from "../../src/workbook/bid/declare/declared";
import type { Table } from "../../src/workbook/bid/declare/table";
import { partName } from "../../src/workbook/bid/declare/table";
import type { BidSheet } from "../../src/workbook/bid/bid-sheets";
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

const heads = ["what", "unit", "name in the workbook", "whence", "what it is"];

/** Rows that a table always has are known by names of their own. */
const rowNames = ({ id, rows }: Table): string =>
  rows.length === 0 ? "" : `\n\nRows of it: ${rows.map((row) => `\`${partName(id, row)}\``).join(", ")}.`;

function sheetGuide(which: BidSheet): string {
  const tables = bidTables
    .filter(({ sheet }) => sheet === which)
    .map((one) => {
      const lines = Object.entries(one.columns).map(([column, declared]) => line(one.id, column, declared));
      return table(heads, lines) + rowNames(one);
    });
  const figures = bidFigures
    .filter(({ sheet }) => sheet === which)
    .map(({ id, figures: all }) =>
      table(
        heads,
        Object.entries(all).map(([figure, declared]) => line(id, figure, declared)),
      ),
    );
  return [...figures, ...tables].join("\n\n");
}

const guide = bidSheets
  .map((which) => ({ name: sheetOfBid(which).name, text: sheetGuide(which) }))
  .filter(({ text }) => text !== "")
  .map(({ name, text }) => `## ${name}\n\n${text}`)
  .join("\n\n");

/** What each sheet is; the name before a colon stands beside it already. */
const sheetTable = table(
  ["sheet", "what it is"],
  bidSheets.map(sheetOfBid).map(({ name, purpose }) => [name, purpose.replace(`${name}: `, "")]),
);

const workbook = fileURLToPath(new URL("../../src/workbook", import.meta.url));

const sourceFiles = (folder: string): readonly string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sourceFiles(path);
    return entry.name.endsWith(".ts") ? [path] : [];
  });

/** The folder of `src/workbook` that a path is in. */
const roomOf = (path: string): string | undefined => {
  const inside = relative(workbook, path);
  return inside.startsWith("..") ? undefined : inside.split("/")[0];
};

/** How many names each folder takes from which. */
function takenNames(): ReadonlyMap<string, ReadonlyMap<string, number>> {
  const taken = new Map<string, Map<string, number>>();
  for (const file of sourceFiles(workbook)) {
    const from = roomOf(file) ?? "";
    const row = taken.get(from) ?? new Map<string, number>();
    taken.set(from, row);
    const imports = readFileSync(file, "utf8").matchAll(/^import (?:type )?\{([^}]*)\} from "(\.[^"]*)";/gm);
    for (const [, names = "", target = ""] of imports) {
      const to = roomOf(join(dirname(file), target));
      if (to === undefined || to === from) continue;
      row.set(to, (row.get(to) ?? 0) + names.split(",").filter((name) => name.trim() !== "").length);
    }
  }
  return taken;
}

/** The folders from those that read none to those that nobody reads. */
function upwards(taken: ReadonlyMap<string, ReadonlyMap<string, number>>): readonly string[] {
  const order: string[] = [];
  while (order.length < taken.size) {
    const next = [...taken.keys()]
      .sort()
      .filter((one) => !order.includes(one))
      .find((one) => [...(taken.get(one)?.keys() ?? [])].every((other) => order.includes(other)));
    if (next === undefined) throw new Error("Some folders of src/workbook read each other.");
    order.push(next);
  }
  return order;
}

function importTable(): string {
  const taken = takenNames();
  const rooms = upwards(taken);
  return table(
    ["from \\ to", ...rooms],
    rooms.map((from) => [from, ...rooms.map((to) => String(taken.get(from)?.get(to) ?? ""))]),
  );
}

await fill("src/workbook/bid/SHEETS.md", "sheets", guide);
await fill("README.md", "sheets", sheetTable);
await fill("DEVELOPERS.md", "imports", importTable());

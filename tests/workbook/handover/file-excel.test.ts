/**
 * Workbooks that Excel wrote, from a public collection that is no part of the project: where it stands beside it, or
 * where EXCEL_FILES names a folder of others. Each passes through unchanged; with calls of ours typed below what it
 * holds, those alone become native, show in LibreOffice what arithmetic gives, and come back.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { readCarrier } from "../../../src/workbook/handover/carrier";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { differingParts, textsOf, withEdited, withoutCells, withoutLimits } from "../../support/file-parts";
import { recalculate } from "../../support/libreoffice";

const folder =
  process.env.EXCEL_FILES ?? fileURLToPath(new URL("../../../../shared/excel-files", import.meta.url));
const names = existsSync(folder) ? readdirSync(folder).filter((name) => /\.xls[xm]$/.test(name)) : [];
const fileNamed = (name: string): Uint8Array => new Uint8Array(readFileSync(join(folder, name)));

/** A call, with what it gives for an area. */
const calls: readonly (readonly [formula: (area: string) => string, value: (area: number) => number])[] = [
  [(area) => `SWARD.PACKS(${area},40)`, (area) => Math.ceil(area / 40)],
  [(area) => `SWARD.SEED_WEIGHT(${area},7)`, (area) => (area * 7) / 1000],
  [(area) => `SWARD.LABEL_DOSE(${area},4)`, (area) => (area * 4) / 43_560],
  [
    (area) => `SUM(${area},SWARD.PACKS(SWARD.SEED_WEIGHT(${area},7),20))`,
    (area) => area + Math.ceil((area * 7) / 1000 / 20),
  ],
];
const rows = 5;

interface Typed {
  readonly bytes: Uint8Array;
  readonly sheet: string;
  readonly part: string;
  readonly cells: readonly { readonly address: string; readonly formula: string; readonly value: number }[];
  /** Every cell that was added. */
  readonly added: readonly string[];
}

/** The file with calls typed two rows below what its first sheet holds. */
function withCalls(bytes: Uint8Array): Typed {
  const texts = textsOf(bytes);
  const workbook = texts["xl/workbook.xml"] ?? "";
  const entry = /<sheet\b[^>]*>/.exec(workbook)?.[0] ?? "";
  const id = /\br:id="([^"]*)"/.exec(entry)?.[1] ?? "";
  const relation = [...(texts["xl/_rels/workbook.xml.rels"] ?? "").matchAll(/<Relationship\b[^>]*>/g)].find(
    ([one]) => one.includes(`Id="${id}"`),
  )?.[0];
  const target = /Target="([^"]*)"/.exec(relation ?? "")?.[1] ?? "";
  const part = target.startsWith("/") ? target.slice(1) : `xl/${target}`;
  const sheet = (/\bname="([^"]*)"/.exec(entry)?.[1] ?? "").replaceAll("&amp;", "&");
  const last = Math.max(
    0,
    ...[...(texts[part] ?? "").matchAll(/<row\b[^>]*?\br="(\d+)"/g)].map(([, row]) => Number(row)),
  );
  const cells: { address: string; formula: string; value: number }[] = [];
  const added: string[] = [];
  const written = Array.from({ length: rows }, (_, i) => {
    const row = last + 2 + i;
    const area = 2500 + 613 * i;
    added.push(`A${row}`);
    const ours = calls.map(([formula, value], j) => {
      const address = `${"BCDE"[j] ?? ""}${row}`;
      added.push(address);
      cells.push({ address, formula: `=${formula(`A${row}`)}`, value: value(area) });
      const stored = formula(`A${row}`).replaceAll("SWARD.", "_xldudf_SWARD_");
      return `<c r="${address}"><f>${stored}</f><v>${value(area)}</v></c>`;
    });
    return `<row r="${row}"><c r="A${row}"><v>${area}</v></c>${ours.join("")}</row>`;
  }).join("");
  const withRows = (xml: string): string =>
    xml.includes("</sheetData>")
      ? xml.replace("</sheetData>", `${written}</sheetData>`)
      : xml.replace(/<sheetData\s*\/>/, `<sheetData>${written}</sheetData>`);
  return { bytes: withEdited(bytes, { [part]: withRows }), sheet, part, cells, added };
}

/** What refers to another workbook is told of, and left; nothing else is. */
const isOwn = ({ formula }: { readonly formula: string }): boolean => !/\[\d+\]/.test(formula);

const cellOf = (xml: string, address: string): string =>
  new RegExp(`<c r="${address}"[^>]*>[\\s\\S]*?</c>`).exec(xml)?.[0] ?? "";
const unescaped = (text: string): string =>
  text.replaceAll("&quot;", '"').replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");
const formulaOf = (cell: string): string => `=${unescaped(/<f>([\s\S]*?)<\/f>/.exec(cell)?.[1] ?? "")}`;

describe.skipIf(names.length === 0)("a workbook that Excel wrote", () => {
  test.each(names)("%s passes through unchanged to the byte", async (name) => {
    const bytes = fileNamed(name);
    const copy = await rewriteFile(
      bytes,
      { mode: "native formulas", withoutOurOwn: true, withList: true },
      unwatched,
    );
    expect(copy).toMatchObject({ converted: 0, stopped: [], bare: [] });
    expect(copy.left.filter(isOwn)).toEqual([]);
    expect(Buffer.from(copy.bytes).equals(bytes)).toBe(true);
  });

  test.each(names)(
    "%s with twenty calls changes in those alone, and each says what stood there",
    async (name) => {
      const typed = withCalls(fileNamed(name));
      const copy = await rewriteFile(typed.bytes, { mode: "native formulas" }, unwatched);
      expect(copy).toMatchObject({ converted: typed.cells.length, stopped: [] });
      expect(copy.left.filter(isOwn)).toEqual([]);
      const [was, is] = [textsOf(typed.bytes), textsOf(copy.bytes)];
      const chain = ["[Content_Types].xml", "xl/_rels/workbook.xml.rels", "xl/calcChain.xml"];
      const differing = differingParts(typed.bytes, copy.bytes).filter((part) => !chain.includes(part));
      expect(differing).toEqual([typed.part]);
      const rest = (xml = ""): string => withoutLimits(withoutCells(xml, typed.added));
      expect(rest(is[typed.part])).toBe(rest(was[typed.part]));
      for (const { address, formula } of typed.cells) {
        const carried = readCarrier(formulaOf(cellOf(is[typed.part] ?? "", address)));
        expect(carried, address).toMatchObject({ original: formula });
      }
    },
  );
});

/** Long: LibreOffice opens each file; only where it is asked for, `FIGURES=1`. */
describe.runIf(process.env.FIGURES !== undefined && names.length > 0)("figures", () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await openWorkbench();
  });

  test("of every file with calls", { timeout: 3_600_000 }, async () => {
    const counts = { files: 0, cells: 0, right: 0, opened: 0, back: 0, wanted: 0 };
    const troubles: string[] = [];
    for (const name of names) {
      const typed = withCalls(fileNamed(name));
      const copy = await rewriteFile(typed.bytes, { mode: "native formulas" }, unwatched);
      counts.files++;
      const cells = (await recalculate(copy.bytes)).get(typed.sheet);
      for (const { address, value } of typed.cells) {
        counts.cells++;
        const shown = cells?.[Number(address.slice(1)) - 1]?.[address.charCodeAt(0) - 65];
        if (typeof shown === "number" && Math.abs(shown - value) <= 1e-9 * value) counts.right++;
        else troubles.push(`${name} ${address}: ${String(shown)} for ${value}`);
      }
      try {
        bench.reset();
        await bench.importXlsx(copy.bytes);
        counts.opened++;
        counts.wanted += typed.cells.length;
        await bringBack([typed.sheet], unwatched);
        for (const { address, formula } of typed.cells) {
          if (bench.formula(typed.sheet, address) === formula) counts.back++;
          else troubles.push(`${name} ${address} holds ${String(bench.formula(typed.sheet, address))}`);
        }
      } catch (error) {
        troubles.push(`${name}: ${String(error)}`);
      }
    }
    console.log(counts, troubles);
    expect(counts.right).toBe(counts.cells);
  });
});

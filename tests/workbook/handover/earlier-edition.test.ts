/** Workbooks as an earlier edition handed them over, with its very hidden sheet of originals: read once more. */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { sheetStates } from "../../../src/workbook/handover/sheet-states";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { textsOf } from "../../support/file-parts";
import type { Edit } from "../../support/libreoffice";
import { edited } from "../../support/libreoffice";
import type { Book } from "./earlier-book";
import { earlierBook as kept, openEarlier, originals } from "./earlier-book";

const sheets = ["Zones", "Price book 2026"] as const;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const open = (book: Book): Promise<void> => openEarlier(bench, book);

/** Every formula that there was, where it stood. */
const formulasOf = (book: Book) =>
  Object.fromEntries(
    Object.entries(book).flatMap(([sheet, cells]) =>
      Object.entries(cells)
        .filter(([, content]) => String(content).startsWith("="))
        .map(([cell]) => [`${sheet}!${cell}`, bench.formula(sheet, cell)]),
    ),
  );
const wanted = Object.fromEntries(
  Object.entries(kept.before).flatMap(([sheet, cells]) =>
    Object.entries(cells)
      .filter(([, content]) => String(content).startsWith("="))
      .map(([cell, content]) => [`${sheet}!${cell}`, content]),
  ),
);

const withPieces = (change: (text: string) => string): Book => ({
  ...kept.native,
  [originals]: Object.fromEntries(
    Object.entries(kept.native[originals] ?? {}).map(([cell, text]) => [cell, change(String(text))]),
  ),
});

describe("what an earlier edition handed over", () => {
  test.each(["native", "values"] as const)("as %s comes back, and its hidden sheet goes", async (how) => {
    await open(kept[how]);
    expect(await sheetStates()).toMatchObject([{ name: "Zones", calls: 0 }, { handedOver: 0 }]);
    const report = await bringBack([...sheets], unwatched);
    expect(report).toMatchObject({ changed: [], foreign: [], notes: [] });
    expect(formulasOf(kept.before)).toEqual(wanted);
    expect(bench.sheetNames()).toEqual([...sheets]);
    expect(await sheetStates()).toMatchObject([{ handedOver: 0 }, { handedOver: 0 }]);
  });

  test("comes back after an office put rows in and renamed a sheet", async () => {
    await open(kept.native);
    const edits: Edit[] = [
      ["insert", "Zones", 2, 1],
      ["rename", "Price book 2026", "Prices"],
      ["set", "Zones", "B2", "4000"],
    ];
    await bench.importXlsx(await edited(await bench.exportXlsx(), edits));
    const report = await bringBack(["Zones", "Prices"], unwatched);
    expect(report.changed).toEqual([]);
    expect(bench.formula("Zones", "D5")).toBe("=SWARD.PACKS(SUM(D2:D4),Prices!B2)");
    expect(bench.formula("Zones", "F2")).toBe('=SWARD.EACH_ROW("SEED_WEIGHT",B2:B4,C2:C4)');
  });

  test("a cell edited since stays and is listed, and what was kept for it stays until it is asked for", async () => {
    await open({ ...kept.native, Zones: { ...kept.native.Zones, D2: 25 } });
    const report = await bringBack([...sheets], unwatched);
    expect(report.changed).toMatchObject([{ address: "D2", formula: "=SWARD.SEED_WEIGHT(B2,C2)" }]);
    expect(bench.value("Zones", "D2")).toBe(25);
    expect(bench.sheetNames()).toContain(originals);
    await bringBack([...sheets], unwatched, { editedToo: true });
    expect(formulasOf(kept.before)).toEqual(wanted);
    expect(bench.sheetNames()).toEqual([...sheets]);
  });

  test("a copy handed over from it holds nothing of the hidden sheet", async () => {
    await open(kept.native);
    const copy = await rewriteFile(
      await bench.exportXlsx(),
      { mode: "native formulas", withoutOurOwn: true },
      unwatched,
    );
    expect(JSON.stringify(textsOf(copy.bytes))).not.toMatch(/kept:|Swardsheet originals/);
  });
});

describe("a damaged or forged sheet of originals", () => {
  test.each([
    ["cut off", (text: string) => (text.startsWith("kept:") ? `${text.slice(0, 200)}:kept` : text)],
    ["without its marks", (text: string) => text.replace(/^kept:/, "")],
    ["of another shape", (text: string) => (text.startsWith("kept:") ? 'kept:{"formulas":7}:kept' : text)],
    ["with rows that are none", (text: string) => text.replaceAll('"row":1', '"row":-1')],
  ])("%s: one sentence, nothing is changed, and a hand-over can be made", async (_, damage) => {
    await open(withPieces(damage));
    const native = bench.formula("Zones", "D2");
    const report = await bringBack([...sheets], unwatched);
    expect(report).toMatchObject({ restored: 0, changed: [] });
    expect(report.notes).toEqual([
      "The originals that an earlier edition kept in this workbook are damaged: what it handed over stays as it is.",
    ]);
    expect(bench.formula("Zones", "D2")).toBe(native);
    bench.setCell("Zones", "H1", "=SWARD.PACKS(B2,C2)");
    expect((await handOver(["Zones"], unwatched)).converted).toBe(1);
    await bringBack(["Zones"], unwatched);
    expect(bench.formula("Zones", "H1")).toBe("=SWARD.PACKS(B2,C2)");
  });

  test.each([
    ["a function that reaches out", "=SWARD.PACKS(WEBSERVICE(B2),C2)"],
    ["another workbook", "=SWARD.PACKS('[x.xlsx]S'!B2,C2)"],
    ["another call than the cell works out", "=SWARD.PACKS(B2,C2)"],
  ])("that names %s: its cell is listed and left", async (_, forged) => {
    await open(withPieces((text) => text.replace("=SWARD.SEED_WEIGHT(B2,C2)", forged)));
    const native = bench.formula("Zones", "D2");
    const report = await bringBack([...sheets], unwatched);
    expect([...report.changed, ...report.foreign]).toMatchObject([{ address: "D2" }]);
    expect(bench.formula("Zones", "D2")).toBe(native);
    expect(bench.formula("Zones", "D3")).toBe("=SWARD.SEED_WEIGHT(B3,C3)");
  });
});

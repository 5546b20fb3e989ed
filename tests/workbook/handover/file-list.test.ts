import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { editsSinceHandOver } from "../../../src/workbook/handover/sheet-states";
import type { FileCopyOptions } from "../../../src/workbook/handover/file/copy-options";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { fileOfSheet } from "../../support/large-file";
import { edited, recalculate } from "../../support/libreoffice";
import { cellsByLibrary, libraryWorkbooks } from "../../support/other-libraries";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset());

const copyOf = (file: Uint8Array, more: Partial<FileCopyOptions> = {}) =>
  rewriteFile(file, { mode: "native formulas", withList: true, ...more }, unwatched);

/** Two zones with a figure, a yes or no, a text that a formula reads and one that none does. */
const zones = {
  A1: "Zone",
  A2: "Front & side",
  B2: "3160",
  C2: "7",
  D2: "=SWARD.SEED_WEIGHT(B2,C2)",
  E2: "'3-4",
  F2: '=IF(E2="3-4",D2,0)',
  A3: "Back",
  B3: "4200",
  C3: "4",
  D3: "=SWARD.SEED_WEIGHT(B3,C3)",
  E3: "TRUE",
  D4: "=SWARD.PACKS(SUM(D2:D3),25)",
};
/** As the file names what was typed: whatever a formula of another's gives is no input. */
const typed = ["B2", "C2", "E2", "B3", "C3", "E3"];

async function exported(): Promise<Uint8Array> {
  bench.setCells("Sheet1", zones);
  return bench.exportXlsx();
}

const listOf = async (file: Uint8Array) =>
  [...(await recalculate(file))].find(([name]) => name.startsWith("Handed over on"));

describe("a copy that can come back", () => {
  test("lists what was typed, behind the other sheets, each beside what is there now", async () => {
    const copy = await copyOf(await exported());
    const [name, rows = []] = (await listOf(copy.bytes)) ?? [];
    expect(name).toBe(copy.list);
    const lines = rows.slice(3);
    expect(lines.slice(0, -1).map(([sheet, cell]) => `${sheet}!${cell}`)).toEqual(
      typed.map((cell) => `Sheet1!${cell}`),
    );
    expect(lines.slice(0, -1).map(([, , held]) => held)).toEqual([3160, 7, "3-4", 4200, 4, true]);
    for (const [, , held, now, changed] of lines.slice(0, -1))
      expect([now, changed ?? ""]).toEqual([held, ""]);
    // The three calls stand one under another.
    expect(lines.at(-1)?.slice(0, 4)).toEqual(["Sheet1", "D2:D4", "formulas, to be brought back", 3]);
  });

  test("says in another spreadsheet which of them changed", async () => {
    const copy = await copyOf(await exported());
    const [, rows = []] = (await listOf(await edited(copy.bytes, [["set", "Sheet1", "C3", "5"]]))) ?? [];
    expect(rows.filter(([, , , , changed]) => changed === "changed").map(([, cell]) => cell)).toEqual(["C3"]);
  });

  test("tells exactly what others changed since, brings the functions back and takes the list away", async () => {
    const copy = await copyOf(await exported());
    await bench.importXlsx(
      await edited(copy.bytes, [
        ["set", "Sheet1", "B2", "3500"],
        ["set", "Sheet1", "E2", "rye"],
        ["insert", "Sheet1", 2, 2],
        ["set", "Sheet1", "A3", "Side strip, to be measured"],
        ["set", "Sheet1", "C5", ""],
        ["rename", "Sheet1", "Zones 2026"],
      ]),
    );
    expect(await editsSinceHandOver()).toEqual({
      edits: [
        { sheet: "Zones 2026", address: "B2", kind: "input", old: "3160", now: "3500" },
        { sheet: "Zones 2026", address: "E2", kind: "input", old: "3-4", now: "rye" },
        { sheet: "Zones 2026", address: "C5", kind: "emptied", old: "4", now: "" },
      ],
    });
    const report = await bringBack(["Zones 2026"], unwatched);
    expect(report).toEqual({ restored: 3, changed: [], foreign: [], notes: [] });
    expect(bench.sheetNames()).toEqual(["Zones 2026"]);
    expect(["D2", "D5", "D6"].map((cell) => bench.formula("Zones 2026", cell))).toEqual([
      "=SWARD.SEED_WEIGHT(B2,C2)",
      "=SWARD.SEED_WEIGHT(B5,C5)",
      "=SWARD.PACKS(SUM(D2:D5),25)",
    ]);
  });

  test("opened as it was made, nothing is told to be changed", async () => {
    const copy = await copyOf(await exported());
    await bench.importXlsx(copy.bytes);
    expect(await editsSinceHandOver()).toEqual({ edits: [] });
  });

  test("a figure typed over a function and a deleted row are told of", async () => {
    const copy = await copyOf(await exported());
    await bench.importXlsx(
      await edited(copy.bytes, [
        ["set", "Sheet1", "D3", "20"],
        ["delete", "Sheet1", 1, 1],
      ]),
    );
    const { edits } = await editsSinceHandOver();
    expect(edits.map(({ kind, old }) => [kind, old])).toEqual([
      ["row or sheet deleted", "3160"],
      ["row or sheet deleted", "7"],
      ["row or sheet deleted", "3-4"],
      ["formula overwritten", "a formula of ours"],
    ]);
  });
});

test("days and times are listed as their cells show them, and other figures as figures", async () => {
  bench.setCells("Sheet1", {
    ...zones,
    A6: "46000",
    A7: "0.25",
    A8: "46001",
    B6: "=SWARD.PACKS(A6+A7+A8,25)",
  });
  const styled = withEdited(await bench.exportXlsx(), {
    "xl/worksheets/sheet0.xml": (xml) =>
      ["A6", "A7", "A8"].reduce(
        (text, cell, i) =>
          text.replace(new RegExp(`<c r="${cell}"(?: s="\\d+")?`), `<c r="${cell}" s="${100 + i}"`),
        xml,
      ),
    "xl/styles.xml": (xml) => {
      const looks = Number(/<cellXfs count="(\d+)"/.exec(xml)?.[1]);
      const more = Array.from({ length: 103 - looks }, (_, i) => {
        const format = { 100: 14, 101: 900, 102: 901 }[looks + i] ?? 0;
        return `<xf numFmtId="${format}" fontId="0" fillId="0" borderId="0" xfId="0"/>`;
      });
      const formats =
        '<numFmt numFmtId="900" formatCode="hh:mm"/><numFmt numFmtId="901" formatCode="0.00&quot; d&quot;"/>';
      return (
        xml.includes("</numFmts>")
          ? xml.replace("</numFmts>", `${formats}</numFmts>`)
          : xml.replace("<fonts", `<numFmts count="2">${formats}</numFmts><fonts`)
      )
        .replace(/<cellXfs count="\d+"/, '<cellXfs count="103"')
        .replace("</cellXfs>", `${more.join("")}</cellXfs>`);
    },
  });
  const copy = await copyOf(styled);
  const texts = textsOf(copy.bytes);
  const name = Object.keys(texts).find((part) => texts[part]?.includes("What the sheets held"));
  const xml = texts[name ?? ""] ?? "";
  const rows = [...xml.matchAll(/<row [^>]*>.*?<\/row>/gs)].map(([row]) => row);
  const formatsIn = (cell: string): readonly (string | undefined)[] => {
    const row = rows.find((one) => one.includes(`<t xml:space="preserve">${cell}</t>`)) ?? "";
    const looks = /<cellXfs[^>]*>(.*?)<\/cellXfs>/s.exec(texts["xl/styles.xml"] ?? "")?.[1] ?? "";
    const all = [...looks.matchAll(/<xf [^>]*numFmtId="(\d+)"/g)].map(([, format]) => format);
    return [...row.matchAll(/<c r="[CD]\d+"(?: s="(\d+)")?/g)].map(([, look]) => all[Number(look ?? 0)]);
  };
  expect(formatsIn("A6")).toEqual(["14", "14"]);
  expect(formatsIn("A7")).toEqual(["900", "900"]);
  expect(formatsIn("A8")).toEqual(["0", "0"]);
  expect(/<cellXfs count="(\d+)"/.exec(texts["xl/styles.xml"] ?? "")?.[1]).toBe("105");
});

describe("no list", () => {
  test("of more cells than one is made of: the copy says so, and comes back without it", async () => {
    const rows = Array.from(
      { length: 400_001 },
      (_, i) => `<row r="${i + 1}"><c r="A${i + 1}"><v>1</v></c></row>`,
    );
    rows[0] = '<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f>SWARD.PACKS(A1,40)</f><v>1</v></c></row>';
    const file = fileOfSheet([
      `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${rows.join("")}</sheetData></worksheet>`,
    ]);
    const copy = await copyOf(file);
    expect(copy.list).toBeUndefined();
    expect(copy.converted).toBe(1);
    expect(copy.left.map(({ note }) => note)).toEqual([
      "Left out: the sheets hold more than 400,000 filled cells. The functions come back without it.",
    ]);
  });

  test("where nothing can come back", async () => {
    const file = await exported();
    for (const mode of ["short native formulas", "values"] as const)
      expect((await copyOf(file, { mode })).list).toBeUndefined();
  });

  test("where no cell was converted", async () => {
    bench.setCells("Sheet1", { A1: "7", A2: "=A1*2" });
    const file = await bench.exportXlsx();
    const copy = await copyOf(file);
    expect(copy.list).toBeUndefined();
    expect(Object.keys(textsOf(copy.bytes))).toEqual(Object.keys(textsOf(file)));
  });
});

describe("files as other programs make them", () => {
  let files: ReturnType<typeof libraryWorkbooks>;
  beforeAll(() => {
    files = libraryWorkbooks();
  });

  test.each(["calculated.xlsm", "plain.xlsx", "kept.xlsm"] as const)(
    "%s keeps its sheets and gets the list, which another library and LibreOffice read alike",
    async (name) => {
      const copy = await copyOf(files[name]);
      expect(copy.stopped).toEqual([]);
      const byLibrary = cellsByLibrary(copy.bytes);
      const inOffice = await recalculate(copy.bytes);
      expect(Object.keys(byLibrary)).toEqual(["Site", "Smith's & sons", copy.list]);
      expect([...inOffice.keys()]).toEqual(Object.keys(byLibrary));
      const list = byLibrary[copy.list ?? ""] ?? {};
      const rows = inOffice.get(copy.list ?? "")?.slice(3) ?? [];
      // Three areas, a rate and the four figures of the tank on the one; three areas of the table on the other.
      const lines = rows
        .filter(([, , held]) => typeof held === "number")
        .map(([sheet, cell]) => `${sheet}!${cell}`);
      expect(lines.sort()).toEqual(
        [
          ...["B1", "A2", "A3", "A4", "A12", "B12", "C12", "D12"].map((cell) => `Site!${cell}`),
          ...["B5", "B6", "B7"].map((cell) => `Smith's & sons!${cell}`),
        ].sort(),
      );
      for (const [i, [sheet, cell, held, now]] of rows.entries()) {
        if (typeof held === "number") expect(now, `${sheet}!${cell}`).toBe(held);
        expect(list[`A${i + 4}`]).toBe(sheet);
        expect(list[`D${i + 4}`]).toMatch(/^=/);
      }
    },
  );

  test("a sheet of the same name and a number out of order do not get in its way", async () => {
    const today = (await copyOf(files["plain.xlsx"])).list ?? "";
    const taken = withEdited(files["plain.xlsx"], {
      "xl/workbook.xml": (xml) =>
        xml
          .replace(/name="Smith[^"]*"/, `name="${today.toUpperCase()}"`)
          .replace('sheetId="1"', 'sheetId="41"'),
    });
    const copy = await copyOf(taken, { sheets: ["Site"] });
    expect(copy.list).toBe(`${today} 2`);
    const ids = [...(textsOf(copy.bytes)["xl/workbook.xml"] ?? "").matchAll(/sheetId="(\d+)"/g)].map(
      ([, id]) => id,
    );
    expect(ids).toEqual(["41", "2", "42"]);
    expect([...(await recalculate(copy.bytes)).keys()]).toEqual(["Site", today.toUpperCase(), `${today} 2`]);
  });
});

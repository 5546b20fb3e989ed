import { beforeAll, describe, expect, test } from "vitest";
import type { FileCopyOptions } from "../../../src/workbook/handover/file/copy-options";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { unwatched } from "../../support/built-workbench";
import {
  differingParts,
  partsOf,
  textsOf,
  withEdited,
  withoutCells,
  withoutLimits,
  withoutTexts,
} from "../../support/file-parts";
import type { SheetValues } from "../../support/libreoffice";
import { edited, recalculate } from "../../support/libreoffice";
import { libraryWorkbooks } from "../../support/other-libraries";

const native = { mode: "native formulas" } as const;
const values = { mode: "values" } as const;

const areas = [2500, 4000, 1000];
const seed = areas.map((area) => (area * 7) / 1000);
const total = areas.reduce((sum, area) => sum + area, 0);
const other = "Smith's & sons";
const acre = 43_560;
/** Half an acre at 40 gal per acre is 20 gal: two tanks of 9 gal and what is left, at 8 fl oz of product per acre. */
const loads = [9, 9, 2].map((water, i) => [i + 1, (water / 40) * acre, water, (water / 40) * 8]);

/** What every cell of interest shows, from arithmetic alone. */
const expected: readonly (readonly [sheet: string, address: string, value: number | string])[] = [
  ...seed.map((weight, i) => ["Site", `C${i + 2}`, weight] as const),
  ...seed.map((weight, i) => ["Site", `D${i + 2}`, Math.ceil(weight / 20)] as const),
  ...areas.map((area, i) => ["Site", `E${i + 2}`, area > 2000 ? "large & <wet>" : "small"] as const),
  ["Site", "A6", total],
  ...areas.map((area, i) => ["Site", `B${i + 8}`, 2 * area] as const),
  ...loads.flatMap((load, i) => load.map((value, j) => ["Site", `${"GHIJ"[j]}${i + 12}`, value] as const)),
  [other, "A1", Math.ceil(total / 1000)],
  [other, "A2", Math.ceil(total / 1000) + total],
  ...seed.map((weight, i) => [other, `C${i + 5}`, weight] as const),
];

const ofSite = ["C2", "C3", "C4", "D2", "D3", "D4", "E2", "E3", "E4", "A16"];
const spill = loads.flatMap((load, i) => load.map((_, j) => `${"GHIJ"[j]}${i + 12}`));
const ofOther = ["A1", "C5", "C6", "C7"];
const theirFormulas = ["A6", "B8", "A2"];

function check(cells: SheetValues): void {
  for (const [sheet, address, value] of expected) {
    const row = Number(address.slice(1)) - 1;
    const shown = cells.get(sheet)?.[row]?.[address.charCodeAt(0) - "A".charCodeAt(0)];
    if (typeof value === "number") expect(shown, `${sheet}!${address}`).toBeCloseTo(value, 9);
    else expect(shown, `${sheet}!${address}`).toBe(value);
  }
}

const copyOf = (bytes: Uint8Array, options: FileCopyOptions) => rewriteFile(bytes, options, unwatched);

const sheetParts = (bytes: Uint8Array) =>
  Object.entries(textsOf(bytes)).filter(([name]) => /^xl\/worksheets\/[^/]+\.xml$/.test(name));

/** Every part is the same to the byte, but for sheets and tables, where only cells and formulas of ours differ. */
function expectOnlyOursChanged(before: Uint8Array, after: Uint8Array, asValues: boolean): void {
  const differing = differingParts(before, after);
  const [was, is] = [textsOf(before), textsOf(after)];
  expect(differing.filter((name) => !/^xl\/(worksheets\/sheet|tables\/table)\d\.xml$/.test(name))).toEqual(
    [],
  );
  const ours = [...ofSite, ...ofOther, ...spill, ...(asValues ? theirFormulas : [])];
  for (const name of differing) {
    const rest = (xml = ""): string =>
      name.includes("tables")
        ? xml.replace(/<calculatedColumnFormula>[\s\S]*?<\/calculatedColumnFormula>/g, "")
        : withoutLimits(withoutCells(xml, ours));
    expect(rest(is[name]), name).toBe(rest(was[name]));
  }
}

/** The style and the value of a cell as the part has them. */
const cellText = (xml: string, address: string): string =>
  new RegExp(`<c r="${address}"[^>]*>[\\s\\S]*?</c>`).exec(xml)?.[0] ?? "";
/** The style of a cell and what it shows, a number or a text wherever that is written. */
const look = (xml: string, address: string) => [
  /\ss="\d+"/.exec(cellText(xml, address))?.[0],
  /<(?:v|t)(?:\s[^>]*)?>([\s\S]*)<\/(?:v|t)>/.exec(cellText(xml, address))?.[1],
];

let files: ReturnType<typeof libraryWorkbooks>;
let calculated: Uint8Array;
beforeAll(() => {
  files = libraryWorkbooks();
  calculated = files["calculated.xlsm"];
});

describe("a workbook by a library that writes values", () => {
  test("holds what is to survive: chart, picture, macros, notes, names, a table", () => {
    const names = Object.keys(partsOf(calculated)).join(" ");
    for (const part of [
      "charts/chart1",
      "media/image1.png",
      "vbaProject.bin",
      "comments1",
      "vmlDrawing1",
      "table1",
    ])
      expect(names).toContain(part);
  });

  test.each([native, values])(
    "in $mode differs in our cells alone, which keep value and look",
    async (options) => {
      const copy = await copyOf(calculated, options);
      expect(copy).toMatchObject({ stopped: [], left: [] });
      expectOnlyOursChanged(calculated, copy.bytes, options === values);
      const [was, is] = [textsOf(calculated), textsOf(copy.bytes)];
      const [before = "", after = ""] = [was, is].map((texts) => texts["xl/worksheets/sheet1.xml"]);
      for (const address of [...ofSite, ...spill])
        expect(look(after, address), address).toEqual(look(before, address));
      for (const [name, xml] of sheetParts(copy.bytes)) {
        expect(withoutTexts(xml), name).not.toMatch(/SWARD/i);
        if (options === values) expect(xml, name).not.toMatch(/<f[\s>/]/);
      }
      expect(withoutTexts(is["xl/tables/table1.xml"] ?? "")).not.toMatch(/SWARD/i);
      expect(is["xl/workbook.xml"]).not.toContain("fullCalcOnLoad");
    },
  );

  test.each([native, values])("in $mode shows in LibreOffice what the functions give", async (options) => {
    const cells = await recalculate((await copyOf(calculated, options)).bytes);
    check(cells);
    expect(cells.get("Site")?.[15]?.[0]).toBe("edition as shown");
  });

  test("its numbers follow an input in LibreOffice when they are native", async () => {
    const changed = await edited((await copyOf(calculated, native)).bytes, [["set", "Site", "A2", "5000"]]);
    const cells = await recalculate(changed);
    expect(cells.get("Site")?.[1]?.[2]).toBeCloseTo((5000 * 7) / 1000, 9);
    expect(cells.get("Site")?.[1]?.[3]).toBe(2);
    expect(cells.get(other)?.[0]?.[0]).toBe(10);
  });

  test("one sheet handed over leaves the part of the other as it was", async () => {
    const copy = await copyOf(calculated, { ...native, sheets: [other] });
    expect(copy.converted).toBe(ofOther.length);
    expect(differingParts(calculated, copy.bytes)).toEqual([
      "xl/tables/table1.xml",
      "xl/worksheets/sheet2.xml",
    ]);
  });
});

describe("a workbook by a library that writes no values", () => {
  test.each(["plain.xlsx", "kept.xlsm"] as const)("%s becomes native", async (name) => {
    const copy = await copyOf(files[name], native);
    expect(copy).toMatchObject({ stopped: [], left: [] });
    expectOnlyOursChanged(files[name], copy.bytes, false);
    for (const [part, xml] of sheetParts(copy.bytes)) expect(withoutTexts(xml), part).not.toMatch(/SWARD/i);
    check(await recalculate(copy.bytes));
  });

  test("is not handed over as values, which it does not have", async () => {
    await expect(copyOf(files["plain.xlsx"], values)).rejects.toThrow(
      "The values in the file are not calculated yet: open it in Excel, save it, then hand over as values.",
    );
  });

  test("stops the sheets that have none where the file does not even say so", async () => {
    const silent = withEdited(files["plain.xlsx"], {
      "xl/workbook.xml": (xml) => xml.replace(' fullCalcOnLoad="1"', ""),
    });
    const copy = await copyOf(silent, values);
    expect(new Set(copy.stopped.map(({ sheet }) => sheet))).toEqual(new Set(["Site", other]));
    expect(copy.stopped.find(({ address }) => address === "C2")?.note).toMatch(
      /^The file holds no value for it: open/,
    );
    expect(differingParts(silent, copy.bytes)).toEqual([]);
  });
});

describe("a workbook that LibreOffice saved", () => {
  test("of functions that it does not know becomes native, and as values after that", async () => {
    const saved = await edited(calculated, [["set", "Site", "A16", ""]]);
    const copy = await copyOf(saved, native);
    expect(copy).toMatchObject({ stopped: [], left: [] });
    check(await recalculate(copy.bytes));
    expect((await copyOf(saved, values)).stopped.map(({ note }) => note)).toContain(
      "It shows #NAME?: put that right, then hand over.",
    );

    const again = await edited(copy.bytes, []);
    const fixed = await copyOf(again, values);
    expect(fixed.stopped).toEqual([]);
    for (const [name, xml] of sheetParts(fixed.bytes)) expect(xml, name).not.toMatch(/<f[\s>/]/);
    check(await recalculate(fixed.bytes));
  });
});

describe("our functions outside the cells", () => {
  test("become native in names, formats and validations, and are listed where they cannot", async () => {
    const copy = await copyOf(files["loose.xlsx"], native);
    const texts = textsOf(copy.bytes);
    expect(texts["xl/workbook.xml"]).toMatch(/name="Bags"[^>]*>[^<]*ROUNDUP/);
    expect(texts["xl/workbook.xml"]).toMatch(/name="Local"[^>]*>[^<]*ROUNDUP/);
    expect(texts["xl/worksheets/sheet1.xml"]).toMatch(
      /<cfRule[^>]*><formula>CHOOSE\(1,[^<]*ROUNDUP[^<]*&gt;2,[^<]*<\/formula>/,
    );
    expect(texts["xl/worksheets/sheet1.xml"]).toMatch(
      /sqref="C1"><formula1>CHOOSE\(1,[^<]*ROUNDUP[^<]*&lt;10,&quot;=SWARD\.PACKS[^<]*<\/formula1>/,
    );
    expect(copy.left.map(({ address }) => address).sort()).toEqual([
      "conditional format of B1",
      "name Edition",
      "validation of C2",
    ]);
    for (const { note } of copy.left) expect(note).toMatch(/^Left as it was: [A-Z].*[^.]\.$/);
    const cells = await recalculate(copy.bytes);
    expect(cells.get("Site")?.[0]?.[1]).toBe(2 * Math.ceil(areas[0]! / 1000));
  });

  test("in a chart are listed: a chart reads cells", async () => {
    const file = withEdited(calculated, {
      "xl/charts/chart1.xml": (xml) =>
        xml.replace("<c:f>Site!$C$2:$C$4</c:f>", "<c:f>_xldudf_SWARD_PACKS(Site!$A$2,1)</c:f>"),
    });
    const copy = await copyOf(file, native);
    expect(copy.left).toMatchObject([{ sheet: "Site", address: "chart" }]);
    expect(partsOf(copy.bytes)["xl/charts/chart1.xml"]).toBe(partsOf(file)["xl/charts/chart1.xml"]);
  });
});

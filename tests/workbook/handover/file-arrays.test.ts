import { describe, expect, test } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { unwatched } from "../../support/built-workbench";
import { textsOf, withEdited, withoutTexts } from "../../support/file-parts";
import { edited, plainWorkbook, recalculate } from "../../support/libreoffice";

const part = "xl/sheet1.xml";
const areas = [1000, 2500, 4000];

/** Areas in A1:A3, and what a test puts into the rows beside them. */
function withRows(rows: readonly (readonly string[])[], more = ""): Uint8Array {
  const xml = rows
    .map((cells, i) => {
      const area = areas[i] === undefined ? "" : `<c r="A${i + 1}"><v>${areas[i]}</v></c>`;
      return `<row r="${i + 1}">${area}${cells.join("")}</row>`;
    })
    .join("");
  return withEdited(plainWorkbook([{ sheet: "S", address: "A1", content: 1 }]), {
    [part]: (before) => before.replace(/<sheetData>.*<\/sheetData>/s, `<sheetData>${xml}</sheetData>${more}`),
  });
}

const copyOf = async (file: Uint8Array, mode: "native formulas" | "values") => {
  const copy = await rewriteFile(file, { mode }, unwatched);
  return { ...copy, xml: textsOf(copy.bytes)[part] ?? "" };
};

const column = async (bytes: Uint8Array, letter: string, rows: number) => {
  const cells = (await recalculate(bytes)).get("S");
  return Array.from({ length: rows }, (_, i) => cells?.[i]?.["ABCDEFG".indexOf(letter)] ?? null);
};

/** The same array as Excel grows it by itself, and as it was entered over a chosen block. */
const kinds = [
  ["that grows by itself", ' cm="1"'],
  ["that was entered over a block", ""],
] as const;

describe.each(kinds)("somebody else's array %s", (_, mark) => {
  const file = withRows([
    [`<c r="B1" s="0"${mark}><f t="array" ref="B1:B3">A1:A3*2</f><v>2000</v></c>`],
    ['<c r="B2" s="0"><v>5000</v></c>'],
    ['<c r="B3" s="0"><v>8000</v></c>'],
  ]);

  test("becomes its values whole, each with its look", async () => {
    const { xml, stopped, bytes } = await copyOf(file, "values");
    expect(stopped).toEqual([]);
    expect(xml).not.toMatch(/<f[\s>/]|\bcm=|t="array"|ref="B1/);
    for (const [i, area] of areas.entries())
      expect(xml).toContain(`<c r="B${i + 1}" s="0"><v>${2 * area}</v></c>`);
    expect(await column(bytes, "B", 3)).toEqual(areas.map((area) => 2 * area));
    // A part of an array could not be typed over.
    const typed = await edited(bytes, [["set", "S", "B2", "77"]]);
    expect(await column(typed, "B", 3)).toEqual([2000, 77, 8000]);
  });

  test("stays as it is when only our functions become native", async () => {
    expect((await copyOf(file, "native formulas")).xml).toBe(textsOf(file)[part]);
  });

  test("has no value for the file to hand over where its first cell has none", async () => {
    const uncalculated = withEdited(file, { [part]: (xml) => xml.replace("</f><v>2000</v>", "</f>") });
    expect((await copyOf(uncalculated, "values")).stopped).toMatchObject([
      { address: "B1", note: expect.stringMatching(/^The file holds no value for it/) as string },
    ]);
  });
});

test("a table of what-ifs becomes its values too", async () => {
  const file = withRows([
    ['<c r="B1"><f t="dataTable" ref="B1:B2" dt2D="0" dtr="0" r1="A3"/><v>12</v></c>'],
    ['<c r="B2"><v>13</v></c>'],
  ]);
  const { xml, stopped } = await copyOf(file, "values");
  expect(stopped).toEqual([]);
  expect(xml).toContain('<c r="B1"><v>12</v></c>');
  expect(xml).toContain('<c r="B2"><v>13</v></c>');
  expect((await copyOf(file, "native formulas")).xml).toBe(textsOf(file)[part]);
});

describe("an array with a call of ours in native mode", () => {
  test("is rewritten whole where the call gives one value", async () => {
    const array = '<f t="array" ref="B1:B3">SWARD.PACKS(A1,300)*A1:A3</f>';
    const file = withRows([
      [`<c r="B1">${array}<v>4000</v></c>`],
      ['<c r="B2"><v>10000</v></c>'],
      ['<c r="B3"><v>16000</v></c>'],
    ]);
    const { xml, stopped, bytes } = await copyOf(file, "native formulas");
    expect(stopped).toEqual([]);
    expect(xml).toMatch(/<f t="array" ref="B1:B3">CHOOSE\(1,ROUNDUP\([^<]*\*A1:A3,[^<]*<\/f><v>4000<\/v>/);
    expect(withoutTexts(xml)).not.toContain("SWARD");
    expect(await column(bytes, "B", 3)).toEqual(areas.map((area) => Math.ceil(1000 / 300) * area));
  });

  test("is listed, and its sheet left as it was, where the call fills cells inside a larger formula", async () => {
    const file = withRows([
      ['<c r="B1"><f t="array" ref="B1:B2">SWARD.SEED_MIX(A1,7,D1:D2)*2</f><v>7</v></c>'],
      ['<c r="B2"><v>7</v></c>'],
    ]);
    const { xml, stopped } = await copyOf(file, "native formulas");
    expect(stopped).toMatchObject([{ address: "B1" }]);
    expect(stopped[0]?.note).not.toBe("");
    expect(xml).toBe(textsOf(file)[part]);
  });
});

describe("a call of ours that fills cells", () => {
  const shares = (row: number): string => `<c r="F${row}"><v>${[0.8, 0.2][row - 1]}</v></c>`;
  const mix = (attributes: string, mark = ""): string =>
    `<c r="B1"${mark}><f${attributes}>_xldudf_SWARD_SEED_MIX(A2,8,F1:F2)</f></c>`;
  /** 2,500 ft2 at 8 lb per 1000 ft2 is 20 lb. */
  const weights = [16, 4];

  test("and that the library did not let grow fills its cells, which the file does not have yet", async () => {
    const file = withRows([[mix(' t="array" ref="B1"', ' cm="1"'), shares(1)], [shares(2)]]);
    const { xml, stopped, bytes } = await copyOf(file, "native formulas");
    expect(stopped).toEqual([]);
    expect(withoutTexts(xml)).not.toMatch(/\bcm=|t="array"|SWARD/);
    expect(xml.indexOf('r="B2"')).toBeLessThan(xml.indexOf('r="F2"'));
    expect(await column(bytes, "B", 3)).toEqual([...weights, null]);
  });

  test("writes the values of cells that the file does not have yet", async () => {
    const file = withRows([[mix(' t="array" ref="B1:B2"', ' cm="1"'), shares(1)], [shares(2)]]);
    const { xml, stopped, bytes } = await copyOf(file, "values");
    expect(stopped).toEqual([]);
    expect(xml).not.toMatch(/<f[\s>/]|\bcm=/);
    expect(await column(bytes, "B", 3)).toEqual([...weights, null]);
  });

  test("over fewer cells than it has is handed over in those alone", async () => {
    const file = withRows([[mix(' t="array" ref="B1"'), shares(1)], [shares(2)]]);
    expect(await column((await copyOf(file, "native formulas")).bytes, "B", 2)).toEqual([weights[0], null]);
    const single = withRows([
      [mix(""), shares(1)],
      ['<c r="B2"><v>99</v></c>', shares(2)],
    ]);
    expect(await column((await copyOf(single, "native formulas")).bytes, "B", 2)).toEqual([weights[0], 99]);
  });

  test("over more cells than it has is listed, and the sheet left as it was", async () => {
    const file = withRows([[mix(' t="array" ref="B1:B3"'), shares(1)], [shares(2)]]);
    const { xml, stopped } = await copyOf(file, "native formulas");
    expect(stopped).toMatchObject([
      { address: "B1", note: expect.stringMatching(/^It was entered over more cells/) as string },
    ]);
    expect(xml).toBe(textsOf(file)[part]);
  });

  test.each(["native formulas", "values"] as const)(
    "and that something stands in the way of is listed, in %s",
    async (mode) => {
      const file = withRows([
        [mix(' t="array" ref="B1"', ' cm="1"'), shares(1)],
        ['<c r="B2"><v>99</v></c>', shares(2)],
      ]);
      const { xml, stopped } = await copyOf(file, mode);
      expect(stopped).toMatchObject([
        { address: "B1", note: expect.stringMatching(/^B2 stands where it would fill cells/) as string },
      ]);
      expect(xml).toBe(textsOf(file)[part]);
    },
  );
});

test("a cell that an array fills is guarded in the formula, since no limit can watch over it", async () => {
  const file = withRows([
    [
      '<c r="B1" cm="1"><f t="array" ref="B1:B2">A1:A2-1000</f><v>0</v></c>',
      '<c r="C1"><f>SWARD.PACKS(10,B2)</f><v>1</v></c>',
    ],
    ['<c r="B2"><v>1500</v></c>'],
  ]);
  const { xml, limits, bytes } = await copyOf(file, "native formulas");
  expect(limits).toBe(0);
  expect(xml).not.toContain("dataValidation");
  const changed = await edited(bytes, [["set", "S", "A2", "400"]]);
  expect((await recalculate(changed)).get("S")?.[0]?.[2]).toBe("#N/A");
});

describe("the chain of calculation", () => {
  const chained = (file: Uint8Array): Uint8Array =>
    withEdited(
      withEdited(file, {
        "[Content_Types].xml": (xml) =>
          xml.replace(
            "</Types>",
            '<Override PartName="/xl/calcChain.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml"/></Types>',
          ),
        "xl/_rels/workbook.xml.rels": (xml) =>
          xml.replace(
            "</Relationships>",
            '<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/calcChain" Target="calcChain.xml"/></Relationships>',
          ),
      }),
      { "xl/calcChain.xml": () => '<calcChain><c r="B1" i="1"/></calcChain>' },
    );
  const file = chained(withRows([['<c r="B1"><f>SWARD.PACKS(A1,300)</f><v>4</v></c>']]));

  test.each(["native formulas", "values"] as const)(
    "goes, with all that names it, where cells changed, in %s",
    async (mode) => {
      const texts = textsOf((await copyOf(file, mode)).bytes);
      expect(Object.keys(texts)).not.toContain("xl/calcChain.xml");
      expect(JSON.stringify(texts)).not.toContain("calcChain");
    },
  );

  test("stays where no cell changed", async () => {
    const untouched = chained(withRows([['<c r="B1"><f>A1*2</f><v>4</v></c>']]));
    expect(textsOf((await copyOf(untouched, "native formulas")).bytes)["xl/calcChain.xml"]).toBe(
      textsOf(file)["xl/calcChain.xml"],
    );
  });
});

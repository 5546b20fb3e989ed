import { beforeAll, describe, expect, test } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { unwatched } from "../../support/built-workbench";
import { differingParts, textsOf, withEdited } from "../../support/file-parts";
import { edited, plainWorkbook } from "../../support/libreoffice";
import { libraryWorkbooks, notesByLibrary } from "../../support/other-libraries";

const native = { mode: "native formulas" } as const;
const copyOf = (file: Uint8Array) => rewriteFile(file, native, unwatched);

/** More sizes than a formula tries every mix of. */
const plainer = "SWARD.PACK_MIX(7,{5,4,3,2})";
const stays = expect.stringMatching(/^More than 3 sizes have no formula that tries every mix: /) as string;

/** The file as LibreOffice saves it again, so that what it did not understand would be gone. */
const savedAgain = (bytes: Uint8Array) => edited(bytes, []);

const comparable = (notes: Readonly<Record<string, string>> = {}): Record<string, string> =>
  Object.fromEntries(Object.entries(notes).map(([address, text]) => [address, text.trim()]));

/** Two cells that buy in a plainer way than their function, a value that has nothing to follow, and a plain formula. */
const bare = withEdited(
  plainWorkbook([
    { sheet: "A & B", address: "A1", content: `=${plainer}` },
    { sheet: "A & B", address: "A2", content: 7 },
    { sheet: "A & B", address: "C7", content: `=${plainer}` },
    { sheet: "A & B", address: "F1", content: "=SWARD.EDITION()" },
    { sheet: "A & B", address: "C8", content: "=SWARD.PACKS(7,2)" },
    { sheet: "Other", address: "A1", content: 1 },
  ]),
  {
    "xl/sheet1.xml": (xml) =>
      xml.replaceAll(/<c (r="[ACF][17]")>(<f>[^<]*<\/f>)/g, '<c $1 t="str">$2<v>as shown</v>'),
  },
);

describe("a cell that works in a plainer way than its function says so in a note", () => {
  test("in a sheet that had none", async () => {
    const copy = await copyOf(bare);
    expect(copy.asValues).toHaveLength(1);
    const noted = { "A & B": { A1: stays, C7: stays }, Other: {} };
    expect(notesByLibrary(copy.bytes)).toEqual(noted);
    expect(comparable(notesByLibrary(await savedAgain(copy.bytes))["A & B"])).toEqual(noted["A & B"]);
    expect(differingParts(bare, copy.bytes)).toEqual([
      "[Content_Types].xml",
      "xl/_rels/sheet1.xml.rels",
      "xl/comments1.xml",
      "xl/drawings/vmldrawing1.vml",
      "xl/sheet1.xml",
    ]);
    const texts = textsOf(copy.bytes);
    for (const part of ["comments1.xml", "drawings/vmldrawing1.vml"])
      expect(texts["[Content_Types].xml"]).toContain(`PartName="/xl/${part}"`);
  });

  describe("beside notes of the estimator's own", () => {
    let file: Uint8Array;
    beforeAll(() => {
      file = withEdited(libraryWorkbooks()["calculated.xlsm"], {
        "xl/worksheets/sheet1.xml": (xml) => xml.replace("SWARD.EDITION()", plainer),
      });
    });

    test("which stay", async () => {
      const copy = await copyOf(file);
      const notes = { A2: "Measured by wheel", A16: stays };
      expect(notesByLibrary(copy.bytes).Site).toEqual(notes);
      expect(comparable(notesByLibrary(await savedAgain(copy.bytes)).Site)).toEqual(notes);
      const [was, is] = [file, copy.bytes].map((bytes) => textsOf(bytes));
      const drawing = "xl/drawings/vmlDrawing1.vml";
      expect(is?.[drawing]?.startsWith((was?.[drawing] ?? "").replace("</xml>", ""))).toBe(true);
      expect(new Set(is?.[drawing]?.match(/id="_x0000_s\d+"/g)).size).toBe(2);
    });

    test("and not where one is on the cell already", async () => {
      const taken = withEdited(file, {
        "xl/comments1.xml": (xml) => xml.replace('ref="A2"', 'ref="A16"'),
      });
      const copy = await copyOf(taken);
      expect(copy.unchecked).toHaveLength(1);
      expect(differingParts(taken, copy.bytes).filter((name) => /comments|vml/.test(name))).toEqual([]);
    });
  });

  test("and nothing else in a sheet without such cells", async () => {
    const plain = plainWorkbook([{ sheet: "S", address: "A1", content: "=SWARD.PACKS(7,2)" }]);
    expect(differingParts(plain, (await copyOf(plain)).bytes)).toEqual(["xl/sheet1.xml"]);
  });
});

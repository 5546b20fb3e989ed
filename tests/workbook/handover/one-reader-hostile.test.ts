import { describe, expect, test } from "vitest";
import { fileForReader } from "../../../src/workbook/handover/reader/one-reader";
import { unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { recalculate } from "../../support/libreoffice";
import { everythingIn, secrets, workbookOfHidingPlaces } from "./hiding-places";

const source = workbookOfHidingPlaces();

const fileFor = async (holds: "values" | "formulas", bytes = source) =>
  fileForReader(bytes, { pages: [{ sheet: "Page" }], holds, drawings: [] }, unwatched);

describe.each(["values", "formulas"] as const)(
  "a page with every hiding place that we know, as %s",
  (holds) => {
    test("tells nothing of what stays behind, in any part, name of a part or file inside", async () => {
      const { bytes } = await fileFor(holds);
      const found = [...everythingIn(bytes)].flatMap(([part, text]) =>
        Object.entries(secrets)
          .filter(([, secret]) => text.includes(secret))
          .map(([what]) => `${what} in ${part}`),
      );
      expect(found).toEqual([]);
    });

    test("is opened by LibreOffice, which shows of each cell in sight what it showed", async () => {
      const { bytes, sheets } = await fileFor(holds);
      expect(sheets).toEqual(["Page"]);
      const cells = await recalculate(bytes);
      expect([...cells.keys()]).toEqual(["Page"]);
      const page = cells.get("Page") ?? [];
      expect(page[0]?.slice(0, 3)).toEqual(["Bid for the lawn", 57.14, 9000]);
      expect(page[1]?.slice(0, 3)).toEqual(["Lawn of the north side", 1200, 3600]);
      expect(page[4]?.[2]).toBe(7);
      expect(page[5]?.slice(0, 3)).toEqual(["shown across two", null, 34284]);
      expect(page[6]?.slice(1, 3)).toEqual([2857, 5]);
      expect(page[7]?.slice(0, 3)).toEqual([29, 29.6, 8]);
    });

    test("keeps what is seen: the two whole pictures, the page's set-up, the merge", async () => {
      const { bytes, pictures, drawingsLeft } = await fileFor(holds);
      expect([pictures, drawingsLeft]).toEqual([2, 4]);
      const texts = textsOf(bytes);
      expect(Object.keys(texts).sort()).toEqual([
        "[Content_Types].xml",
        "_rels/.rels",
        "xl/_rels/workbook.xml.rels",
        "xl/drawings/_rels/drawing1.xml.rels",
        "xl/drawings/drawing1.xml",
        "xl/media/image1.png",
        "xl/media/image2.png",
        "xl/styles.xml",
        "xl/theme/theme1.xml",
        "xl/workbook.xml",
        "xl/worksheets/_rels/sheet1.xml.rels",
        "xl/worksheets/sheet1.xml",
      ]);
      const sheet = texts["xl/worksheets/sheet1.xml"] ?? "";
      expect(sheet).toContain('<mergeCell ref="A6:B6"/>');
      expect(sheet).toContain("<oddHeader>&amp;LLarkfield House</oddHeader>");
      expect(sheet).toContain('state="frozen"');
      expect(texts["xl/workbook.xml"]).toContain("Page!$A$1:$F$8");
    });
  },
);

test("of the formulas only those stay that read nothing but the page", async () => {
  const { bytes, formulas } = await fileFor("formulas");
  const sheet = textsOf(bytes)["xl/worksheets/sheet1.xml"] ?? "";
  expect([...sheet.matchAll(/<f>(.*?)<\/f>/g)].map(([, formula]) => formula)).toEqual(["B2*3"]);
  expect(formulas).toBe(1);
});

describe("a file that cannot be made is refused in one sentence", () => {
  const refusal = async (bytes: Uint8Array, sheet = "Page"): Promise<string> => {
    try {
      await fileForReader(bytes, { pages: [{ sheet }], holds: "values", drawings: [] }, unwatched);
    } catch (error) {
      if (!(error instanceof Error) || error.name !== "WorkbookTrouble") throw error;
      expect(error.message).toMatch(/^[^\n]{10,240}\.$/);
      return error.message;
    }
    return "it was made";
  };
  const page = "xl/worksheets/sheet1.xml";

  test("a cell that shows an error", async () =>
    expect(
      await refusal(
        withEdited(source, {
          [page]: (xml) =>
            xml
              .replace("<f>B2*3</f><v>3600</v>".replace("<f>", "<f>"), "<f>B2*3</f><v>#VALUE!</v>")
              .replace('<c r="C2">', '<c r="C2" t="e">'),
        }),
      ),
    ).toBe("Page!C2 shows #VALUE!: put that right, then hand over."));

  test("a cell that nothing has calculated yet", async () =>
    expect(await refusal(withEdited(source, { [page]: (xml) => xml.replace("<v>3600</v>", "") }))).toMatch(
      /^Page!C2 is not calculated yet/,
    ));

  test("a sheet that is gone", async () =>
    expect(await refusal(source, "Nowhere")).toMatch(/^There is no sheet Nowhere any more/));
});

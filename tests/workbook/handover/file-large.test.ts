/** Large files go through piece by piece: what is held of them does not grow with them. */
import { execFileSync } from "node:child_process";
import { randomBytes } from "node:crypto";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { passing } from "../../../src/workbook/handover/file/xml-passing";
import { unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { fileOfSheet, largeFile, mixedSheet } from "../../support/large-file";
import { plainWorkbook } from "../../support/libreoffice";

const native = { mode: "native formulas" } as const;
const values = { mode: "values" } as const;
const sheetPart = "xl/sheet1.xml";

const sheetOf = (rows: string, behind = ""): readonly string[] => [
  `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>${rows}</sheetData>${behind}</worksheet>`,
];

describe("a sheet on its way through", () => {
  test("is held in small pieces, whatever the pieces are that it comes in", () => {
    const whole = [...mixedSheet({ unpacked: 1_000_000, calls: 100 })].join("");
    for (const size of [7919, 65_536, whole.length]) {
      const pieces = Array.from({ length: Math.ceil(whole.length / size) }, (_, i) =>
        whole.slice(i * size, (i + 1) * size),
      );
      const out = [...passing("sheet", pieces, {})];
      expect(out.join("")).toBe(whole);
      expect(Math.max(...out.map(({ length }) => length))).toBeLessThan(70_000);
    }
  });

  test("with a call here and there keeps every other character", async () => {
    const file = largeFile({ unpacked: 1_500_000, calls: 300 });
    const copy = await rewriteFile(file, native, unwatched);
    expect(copy).toMatchObject({ converted: 300, stopped: [] });
    const [was = "", is = ""] = [file, copy.bytes].map((bytes) => textsOf(bytes)[sheetPart] ?? "");
    const rest = (xml: string): string =>
      xml
        .replace(/<dataValidations[\s\S]*<\/dataValidations>/, "")
        .replace(/<f>(?:_xldudf_SWARD|CHOOSE)[^<]*<\/f>/g, "<f/>");
    expect(rest(is)).toBe(rest(was));
  });
});

describe("a file that is made to take much", () => {
  /** Packed nearly as tightly as is let through. */
  const tight = (unit: string): Uint8Array => {
    const rows = `<row>${unit.repeat(10_000)}</row>`.repeat(Math.ceil(12e6 / unit.length / 10_000));
    return fileOfSheet(sheetOf(rows, `<!-- ${randomBytes(50_000).toString("base64")} -->`));
  };

  test.each(["<c/>", "<c><f>1</f></c>", "<c><f/><v>1</v></c>"])(
    "of %s without end comes out as it went in",
    async (unit) => {
      const file = tight(unit);
      const copy = await rewriteFile(file, native, unwatched);
      expect(Buffer.from(copy.bytes).equals(file)).toBe(true);
    },
  );

  test("of formulas that nothing calculated tells of a thousand of them as values", async () => {
    const copy = await rewriteFile(tight("<c><f>1</f></c>"), values, unwatched);
    expect(copy.stopped).toHaveLength(1000);
    expect(copy.stopped[0]?.note).toMatch(/^The file holds no value for it/);
  });

  test("of more calls than anyone writes is told of in one sentence", async () => {
    const row = (i: number): string =>
      `<row r="${i + 1}">${"<c><f>SWARD.PACKS(1,2)</f></c>".repeat(1000)}</row>`;
    const copy = await rewriteFile(
      fileOfSheet(sheetOf(Array.from({ length: 301 }, (_, i) => row(i)).join(""))),
      native,
      unwatched,
    );
    expect(copy.stopped).toMatchObject([
      {
        address: "A1",
        note: expect.stringMatching(/^The sheet calls our functions more than 300,000 times/) as string,
      },
    ]);
  });

  test("of a cell that is longer than any is refused", async () => {
    const text = "<is><t>" + randomBytes(7e6).toString("base64") + "</t></is>";
    const rows = `<row r="1"><c r="A1"><f>SWARD.PACKS(1,2)</f><v>1</v></c><c r="B1" t="inlineStr"><f>SWARD.PACKS(1,2)</f>${text}</c></row>`;
    await expect(rewriteFile(fileOfSheet(sheetOf(rows)), native, unwatched)).rejects.toThrow(
      "The file's part xl/sheet1.xml holds a cell that is longer than any workbook's: it is not opened.",
    );
  });

  test("with rules on twice as many cells as it has inputs gets its limits between them", async () => {
    const inputs = 400;
    const cells = Array.from({ length: inputs }, (_, i) => [
      { sheet: "Zones", address: `A${2 * i + 1}`, content: i + 1 },
      { sheet: "Zones", address: `B${2 * i + 1}`, content: `=SWARD.PACKS(A${2 * i + 1},40)` },
    ]).flat();
    const rules = Array.from(
      { length: inputs * 10 },
      (_, i) =>
        `<dataValidation type="decimal" sqref="${i % 2 === 0 ? "D" : "A"}${i + 1}"><formula1>5</formula1></dataValidation>`,
    );
    const file = withEdited(plainWorkbook(cells), {
      [sheetPart]: (xml) =>
        xml.replace(
          "</sheetData>",
          `</sheetData><dataValidations count="${rules.length}">${rules.join("")}</dataValidations>`,
        ),
    });
    const copy = await rewriteFile(file, native, unwatched);
    expect(copy.limits).toBe(inputs);
    const xml = textsOf(copy.bytes)[sheetPart] ?? "";
    expect(xml.slice(xml.indexOf("<dataValidations")).slice(0, 40)).toContain(`count="${inputs * 10 + 1}"`);
    const [, ruled = "", formula = ""] =
      /handed over\)"[^>]* sqref="([^"]*)"><formula1>([^<]*)/.exec(xml) ?? [];
    expect(ruled.split(" ")).toEqual(cells.map(({ address }) => address).filter((at) => at.startsWith("A")));
    // Spelt for the first of them, from which a host counts to the others.
    expect(formula).toMatch(/\bA1\b/);
  });

  test.each(["MAX", "MIN"])(
    "of a column longer than a function takes arguments stops nothing: %s",
    async (name) => {
      const rows = Array.from(
        { length: 150_000 },
        (_, i) => `<row r="${i + 1}"><c r="A${i + 1}"><v>${i + 1}</v></c></row>`,
      );
      rows[0] =
        `<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f>SWARD.PACK_MIX(${name}(A1:A150000)/10000+7,{5,4,3,2})</f><v>1</v></c>` +
        `<c r="C1"><f>SWARD.PACKS(${name}(A1:A150000),40)</f><v>1</v></c></row>`;
      const copy = await rewriteFile(fileOfSheet(sheetOf(rows.join(""))), native, unwatched);
      expect(copy).toMatchObject({ stopped: [], converted: 2 });
    },
  );
});

/** Long: only where it is asked for, `FIGURES=1`; the figures are for a person to read. */
describe.runIf(process.env.FIGURES !== undefined)("figures", () => {
  test.each([
    [60, "native formulas"],
    [60, "values"],
    [156, "native formulas"],
  ])(
    "of a sheet of %i MB in %s, by a process that may hold 400 MB",
    { timeout: 1_800_000 },
    (megabytes, mode) => {
      const folder = mkdtempSync(join(tmpdir(), "swardsheet-large-"));
      try {
        const file = join(folder, "large.xlsx");
        writeFileSync(file, largeFile({ unpacked: megabytes * 1e6, calls: 50_000 }));
        const script = new URL("../../support/hand-over-file.ts", import.meta.url).pathname;
        const given = ["--max-old-space-size=400", "--import", "tsx", script, file, mode];
        const told = execFileSync(process.execPath, given, { encoding: "utf8" });
        console.log(`${megabytes} MB, ${mode}: ${told}`);
        expect((JSON.parse(told) as { megabytesAtMost: number }).megabytesAtMost).toBeLessThan(600);
      } finally {
        rmSync(folder, { recursive: true, force: true });
      }
    },
  );
});

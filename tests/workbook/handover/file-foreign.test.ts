/** Files as other programs write them: what they do in their own way is neither lost nor spoilt in the copy. */
import { describe, expect, test } from "vitest";
import type { FileCopyOptions } from "../../../src/workbook/handover/file/copy-options";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { blockOf, overlaps } from "../../../src/workbook/host/reference";
import { unwatched } from "../../support/built-workbench";
import { differingParts, textsOf, withEdited, withParts } from "../../support/file-parts";
import type { CellContent } from "../../support/libreoffice";
import { plainWorkbook, recalculate } from "../../support/libreoffice";
import { notesByLibrary } from "../../support/other-libraries";

const native = { mode: "native formulas" } as const;
const values = { mode: "values" } as const;

const sheetPart = "xl/sheet1.xml";
const types = "[Content_Types].xml";
const relations = (part: string): string => part.replace(/([^/]*)$/, "_rels/$1.rels");
const relationSpace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

const onZones = (cells: Readonly<Record<string, string | number>>): readonly CellContent[] =>
  Object.entries(cells).map(([address, content]) => ({ sheet: "Zones", address, content }));

/** A sheet with formulas that show what is given for them. */
function zones(
  cells: Readonly<Record<string, string | number>>,
  shown: Readonly<Record<string, string | number>> = {},
): Uint8Array {
  const file = plainWorkbook(onZones(cells));
  if (Object.keys(shown).length === 0) return file;
  return withEdited(file, {
    [sheetPart]: (xml) =>
      Object.entries(shown).reduce((text, [address, value]) => {
        const type = typeof value === "number" ? "" : value.startsWith("#") ? ' t="e"' : ' t="str"';
        return text.replace(
          new RegExp(`<c r="${address}">(.*?)</c>`),
          `<c r="${address}"${type}>$1<v>${value}</v></c>`,
        );
      }, xml),
  });
}

const copyOf = (bytes: Uint8Array, options: FileCopyOptions = native) =>
  rewriteFile(bytes, options, unwatched);

const idsIn = (rels: string): readonly string[] => [...rels.matchAll(/\sId="([^"]*)"/g)].map(([, id]) => id!);

describe("relations of a sheet", () => {
  /** Buys in a plainer way than its function, so that its cell gets a note: a relation and two parts are added. */
  const plainer = zones({ A1: 40, B1: "=SWARD.PACK_MIX(7,{5,4,3,2})" }, { B1: 2 });

  test.each([
    ["a link to a web page", "hyperlink", "https://example.com/"],
    ["a link to another workbook", "externalLinkPath", "file:///C:/plans.xlsx"],
  ])("%s keeps its id to itself", async (_, type, target) => {
    const outside = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="${relationSpace}/${type}" Target="${target}" TargetMode="External"/></Relationships>`;
    const withLink = withParts(plainer, { [relations(sheetPart)]: outside });
    const copy = await copyOf(withLink);
    const rels = textsOf(copy.bytes)[relations(sheetPart)] ?? "";
    expect(copy.stopped).toEqual([]);
    expect(idsIn(rels).length).toBeGreaterThan(1);
    expect(new Set(idsIn(rels)).size).toBe(idsIn(rels).length);
    expect(rels).toContain(target);
    expect(Object.keys(notesByLibrary(copy.bytes).Zones ?? {})).toEqual(["B1"]);
  });

  test("have a content type in a file that has no default for them", async () => {
    const noDefault = withEdited(plainer, {
      [types]: (xml) =>
        xml.replace(
          /<Default Extension="rels"[^>]*>/,
          ["/_rels/.rels", "/xl/_rels/workbook.xml.rels"]
            .map(
              (name) =>
                `<Override PartName="${name}" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>`,
            )
            .join(""),
        ),
    });
    const texts = textsOf((await copyOf(noDefault)).bytes);
    expect(texts[relations(sheetPart)]).toBeDefined();
    expect(texts[types]).toMatch(
      /Extension="rels"|PartName="\/xl\/_rels\/sheet1\.xml\.rels" ContentType="application\/vnd\.openxmlformats-package\.relationships\+xml"/,
    );
  });

  test("an empty id of a sheet names no part, and the sheet is passed by", async () => {
    const old = withEdited(plainer, {
      "xl/workbook.xml": (xml) =>
        xml.replace("</sheets>", '<sheet name="Module1" sheetId="7" state="veryHidden" r:id=""/></sheets>'),
    });
    const copy = await copyOf(old);
    expect(copy.converted).toBeGreaterThan(0);
    expect(textsOf(copy.bytes)["xl/workbook.xml"]).toContain("Module1");
  });

  test("an empty id of a drawing of notes names no part, and the notes get one", async () => {
    const old = withEdited(plainer, {
      [sheetPart]: (xml) =>
        xml.replace("</worksheet>", `<legacyDrawing xmlns:r="${relationSpace}" r:id=""/></worksheet>`),
    });
    const copy = await copyOf(old);
    expect(Object.keys(notesByLibrary(copy.bytes).Zones ?? {})).toEqual(["B1"]);
    expect(textsOf(copy.bytes)[sheetPart]?.match(/<legacyDrawing\b/g)).toHaveLength(1);
  });
});

describe("texts and formulas that only look like ours", () => {
  const kinds = {
    "an inline text": (text: string) => `<c r="A5" t="inlineStr"><is><t>${text}</t></is></c>`,
    "a shared text": () => `<c r="A5" t="s"><v>0</v></c>`,
    "the text of a formula": (text: string) => `<c r="A5" t="str"><f>"="&amp;"SWARD"</f><v>${text}</v></c>`,
  };
  test.each(Object.keys(kinds) as (keyof typeof kinds)[])(
    "%s that opens a bracket and does not close it keeps nothing from being converted",
    async (kind) => {
      const text = "=SWARD.PACKS(need, of course";
      const file = withEdited(
        withEdited(plainWorkbook(onZones({ A1: 2500, B1: "=SWARD.PACKS(A1,40)", A5: 1 })), {
          [sheetPart]: (xml) => xml.replace(/<c r="A5">.*?<\/c>/, kinds[kind](text)),
        }),
        {
          [types]: (xml) =>
            xml.replace(
              "</Types>",
              '<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>',
            ),
          [relations("xl/workbook.xml")]: (xml) =>
            xml.replace(
              "</Relationships>",
              `<Relationship Id="rId77" Type="${relationSpace}/sharedStrings" Target="sharedStrings.xml"/></Relationships>`,
            ),
        },
      );
      const whole = withParts(file, {
        "xl/sharedStrings.xml": `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>${text}</t></si></sst>`,
      });
      const copy = await copyOf(whole);
      expect(copy.converted).toBe(1);
      const sheet = (await recalculate(copy.bytes)).get("Zones");
      expect(sheet?.[0]?.[1]).toBe(Math.ceil(2500 / 40));
    },
  );

  test("a name, a rule or a chart whose formula is not closed stops nothing else and is told of", async () => {
    const open = "SWARD.PACKS(need,";
    const file = withEdited(zones({ A1: 2500, B1: "=SWARD.PACKS(A1,40)" }, { B1: 63 }), {
      "xl/workbook.xml": (xml) =>
        xml.replace(
          "</workbook>",
          `<definedNames><definedName name="Open">${open}</definedName></definedNames></workbook>`,
        ),
      [sheetPart]: (xml) =>
        xml.replace(
          "</sheetData>",
          `</sheetData><conditionalFormatting sqref="A1"><cfRule type="expression" priority="1"><formula>${open}</formula></cfRule></conditionalFormatting>` +
            `<dataValidations count="1"><dataValidation type="custom" sqref="D1"><formula1>${open}</formula1></dataValidation></dataValidations>`,
        ),
    });
    const copy = await copyOf(file);
    expect(copy.converted).toBe(1);
    expect(copy.left.map(({ address }) => address).sort()).toEqual([
      "conditional format of A1",
      "name Open",
      "validation of D1",
    ]);
  });

  test("a text that a formula makes, and that begins as an error does, is a value", async () => {
    const file = zones(
      { A1: 1042, B1: '="#"&A1', C1: "=SWARD.PACKS(A1,40)", D1: '="#N/A"' },
      { B1: "shown", C1: 27, D1: "shown" },
    );
    const shown = withEdited(file, {
      [sheetPart]: (xml) =>
        xml.replace("<v>shown</v>", "<v>#1042</v>").replace("<v>shown</v>", "<v>#N/A</v>"),
    });
    const copy = await copyOf(shown, values);
    expect(copy.stopped).toEqual([]);
    const sheet = textsOf(copy.bytes)[sheetPart] ?? "";
    expect(sheet).not.toMatch(/<f[\s/>]/);
    expect(sheet).toMatch(/ t="inlineStr"><is><t[^>]*>#1042<\/t>/);
    expect((await copyOf(shown)).converted).toBe(1);
  });

  test("a function of another workbook that is called as ours is left, and told of", async () => {
    for (const formula of [
      "=[2]!_xldudf_SWARD_PACKS(A1,40)",
      "=[2]!SWARD.PACKS(A1,40)",
      "='C:\\old\\[tools.xlam]Sheet1'!SWARD.PACKS(A1,40)",
      "=Other!SWARD.PACKS(A1,40)",
    ]) {
      const file = zones({ A1: 2500, B1: formula, C1: "=SWARD.PACKS(A1,40)" }, { B1: 63, C1: 63 });
      const copy = await copyOf(file);
      expect(copy.converted, formula).toBe(1);
      const cell = /<c r="B1".*?<\/c>/.exec(textsOf(copy.bytes)[sheetPart] ?? "")?.[0];
      expect(cell, formula).toBe(/<c r="B1".*?<\/c>/.exec(textsOf(file)[sheetPart] ?? "")?.[0]);
      expect(
        copy.left.map(({ address }) => address),
        formula,
      ).toEqual(["B1"]);
    }
  });
});

test("a formula that refers to another workbook keeps its value and is told of, a table's column is not", async () => {
  const outward = [
    "=[1]Other!$A$1*2",
    "='[1]My rates'!B2",
    "=SUM([1]!Rates)",
    "=IF(A1>0,'C:\\x\\[r.xlsx]S'!A1,0)",
  ];
  for (const formula of outward) {
    const file = zones({ A1: 2500, B1: formula, C1: "=SWARD.PACKS(A1,40)" }, { B1: 63, C1: 63 });
    const copy = await copyOf(file);
    const cellOf = (bytes: Uint8Array) => /<c r="B1".*?<\/c>/.exec(textsOf(bytes)[sheetPart] ?? "")?.[0];
    expect(copy.converted, formula).toBe(1);
    expect(cellOf(copy.bytes), formula).toBe(cellOf(file));
    expect(copy.left, formula).toMatchObject([
      {
        sheet: "Zones",
        address: "B1",
        note: "Left as it was, with the value that it shows: it refers to another workbook.",
      },
    ]);
  }
  const near = ["=SUM(Beds[1])*Other!A1", '="[1]Other!A1"&A1', "=Beds[[#This Row],[1]]+'My rates'!B2"];
  for (const formula of near) {
    const copy = await copyOf(
      zones({ A1: 2500, B1: formula, C1: "=SWARD.PACKS(A1,40)" }, { B1: 63, C1: 63 }),
    );
    expect(copy.left, formula).toEqual([]);
  }
});

describe("validations", () => {
  const validations = (bytes: Uint8Array): readonly string[] =>
    [...(textsOf(bytes)[sheetPart] ?? "").matchAll(/<dataValidation [^>]*sqref="([^"]*)"/g)].flatMap(
      ([, ranges]) => ranges!.split(" "),
    );

  function expectNoneTwice(ranges: readonly string[]): void {
    ranges.forEach((range, i) => {
      for (const other of ranges.slice(i + 1))
        expect(overlaps(range, other), `${range} ${other}`).toBe(false);
    });
  }

  test("are one a cell, whatever it is an input of", async () => {
    const copy = await copyOf(
      zones({
        A1: 0.5,
        A2: 2600,
        A3: 2700,
        A4: 2800,
        B1: "=SWARD.PACKS(A1,A2)",
        B2: "=SWARD.SEED_WEIGHT(A1,A2)",
        B3: "=SWARD.SEED_WEIGHT(A3,A1)",
        B4: "=SWARD.WORK_HOURS(A4,A2)",
      }),
    );
    const ranges = validations(copy.bytes);
    expectNoneTwice(ranges);
    const covered = ranges.reduce((sum, range) => {
      const { top, bottom } = blockOf(range)!;
      return sum + bottom - top + 1;
    }, 0);
    expect(covered).toBe(4);
  });

  test("leave the cells with a rule of the estimator's own, and watch those beside", async () => {
    const inputs = Object.fromEntries(Array.from({ length: 10 }, (_, i) => [`A${i + 1}`, 100 + i]));
    const calls = Object.fromEntries(
      Array.from({ length: 10 }, (_, i) => [`B${i + 1}`, `=SWARD.PACKS(A${i + 1},40)`]),
    );
    const own =
      '<dataValidations count="1"><dataValidation type="decimal" operator="greaterThan" sqref="A5 XFD1:XFD9"><formula1>5</formula1></dataValidation></dataValidations>';
    const file = withEdited(zones({ ...inputs, ...calls }), {
      [sheetPart]: (xml) => xml.replace("</sheetData>", `</sheetData>${own}`),
    });
    const copy = await copyOf(file);
    const ranges = validations(copy.bytes);
    expectNoneTwice(ranges);
    expect([...ranges].sort()).toEqual(["A1:A4", "A5", "A6:A10", "XFD1:XFD9"]);
  });
});

describe("what a cell last showed", () => {
  test("an error of a program that does not know our functions is not kept in a native copy", async () => {
    const file = zones({ A1: 2500, B1: "=SWARD.PACKS(A1,40)", C1: "=B1*2" }, { B1: "#NAME?", C1: "#NAME?" });
    const copy = await copyOf(file);
    const texts = textsOf(copy.bytes);
    expect(/<c r="B1".*?<\/c>/.exec(texts[sheetPart] ?? "")?.[0]).not.toMatch(/#NAME|t="e"|<v>/);
    // What others work out from it is theirs: the file asks to be calculated.
    expect(texts["xl/workbook.xml"]).toMatch(/<calcPr[^>]*fullCalcOnLoad="1"/);
    expect((await recalculate(copy.bytes)).get("Zones")?.[0]?.slice(1)).toEqual([63, 126]);
  });

  test("a file that says how it is calculated says it once", async () => {
    const file = withEdited(zones({ A1: 2500, B1: "=SWARD.PACKS(A1,40)" }, { B1: "#NAME?" }), {
      "xl/workbook.xml": (xml) =>
        xml.replace("</workbook>", '<calcPr calcId="191029" fullCalcOnLoad="0"/></workbook>'),
    });
    const workbook = textsOf((await copyOf(file)).bytes)["xl/workbook.xml"] ?? "";
    expect(workbook.match(/<calcPr[^>]*>/g)).toEqual(['<calcPr calcId="191029" fullCalcOnLoad="1"/>']);
  });

  test("values are values, whatever a formula's element says of itself", async () => {
    for (const element of [
      '<f ca="1"/>',
      "<f></f>",
      '<f ca="1"></f>',
      '<f t="shared" ref="B2" si="0">A1*2</f>',
      '<f t="dataTable" ref="B2" dt2D="0" dtr="0" r1="A1"/>',
    ]) {
      const file = withEdited(zones({ A1: 2500, B1: "=SWARD.PACKS(A1,40)", B2: 7 }, { B1: 63 }), {
        [sheetPart]: (xml) => xml.replace('<c r="B2">', `<c r="B2">${element}`),
      });
      const copy = await copyOf(file, values);
      expect(copy.stopped, element).toEqual([]);
      const sheet = textsOf(copy.bytes)[sheetPart] ?? "";
      expect(sheet, element).not.toMatch(/<f[\s/>]/);
      expect(/<c r="B2".*?<\/c>/.exec(sheet)?.[0], element).toBe('<c r="B2"><v>7</v></c>');
    }
  });

  test("a file without a call of ours is the same to the byte", async () => {
    const file = zones({ A1: 2500, B1: '="#"&A1', C1: "=A1*2", D1: '="SWARD.PACKS("' }, { C1: 5000 });
    const copy = await copyOf(file);
    expect(differingParts(file, copy.bytes)).toEqual([]);
    expect(copy.bytes).toEqual(file);
  });
});

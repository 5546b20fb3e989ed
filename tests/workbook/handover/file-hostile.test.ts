import fc from "fast-check";
import { strToU8, zipSync } from "fflate";
import { beforeAll, describe, expect, test } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { unwatched } from "../../support/built-workbench";
import { textsOf, withEdited, withParts } from "../../support/file-parts";
import { edited, plainWorkbook } from "../../support/libreoffice";
import { libraryWorkbooks } from "../../support/other-libraries";

const good = plainWorkbook([
  { sheet: "Zones", address: "A1", content: 2500 },
  { sheet: "Zones", address: "B1", content: "=SWARD.PACKS(A1,40)" },
]);
const sheet = "xl/sheet1.xml";

type Outcome = { readonly sentence: string } | { readonly bytes: Uint8Array };

/** A refusal is one sentence for a person; any other error is a fault of ours and fails the test. */
async function outcomeOf(bytes: Uint8Array): Promise<Outcome> {
  try {
    return { bytes: (await rewriteFile(bytes, { mode: "native formulas" }, unwatched)).bytes };
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "WorkbookTrouble") throw error;
    expect(error.message).toMatch(/^[A-Z][^\n]{10,240}\.$/);
    expect(error.message).not.toMatch(/[.?!] [A-Z]/);
    return { sentence: error.message };
  }
}

const refusal = async (bytes: Uint8Array): Promise<string> => {
  const outcome = await outcomeOf(bytes);
  return "sentence" in outcome ? outcome.sentence : "it was opened";
};

/** The bytes with a number of two or four bytes put at each place where a text begins. */
function patched(bytes: Uint8Array, at: number, value: number, size: 2 | 4): Uint8Array {
  const copy = bytes.slice();
  const view = new DataView(copy.buffer);
  if (size === 2) view.setUint16(at, value, true);
  else view.setUint32(at, value, true);
  return copy;
}

/** Where the central directory's record of a part begins. */
function centralRecord(bytes: Uint8Array, part: string): number {
  const text = new TextDecoder("latin1").decode(bytes);
  return text.lastIndexOf(part) - 46;
}

describe("a file that claims to be small or large", () => {
  test.each([
    ["declares less than it holds", 10],
    ["declares a little more than it holds", 5000],
  ])("%s is damaged", async (_, size) => {
    const lying = patched(good, centralRecord(good, sheet) + 24, size, 4);
    expect(await refusal(lying)).toBe(
      "The file's part xl/sheet1.xml is damaged: open the file in Excel, save it again, then hand over.",
    );
  });

  test("declares four gigabytes in a kilobyte", async () =>
    expect(await refusal(patched(good, centralRecord(good, sheet) + 24, 0xfffffff0, 4))).toMatch(
      /unpacks to far more/,
    ));

  test("really unpacks to a thousand times its size", async () => {
    const blanks = `<worksheet><sheetData>${" ".repeat(30e6)}</sheetData></worksheet>`;
    expect(await refusal(withParts(good, { [sheet]: blanks }))).toMatch(/unpacks to far more/);
  });

  test("a part that declares little and unpacks to much is given up as soon as it goes beyond", async () => {
    const large = withParts(good, { [sheet]: " ".repeat(50e6) });
    expect(await refusal(patched(large, centralRecord(large, sheet) + 24, 100, 4))).toMatch(
      /xl\/sheet1\.xml is damaged/,
    );
  });

  test("parts that share their bytes", async () => {
    const two = withParts(good, { "xl/zzz1.bin": "a".repeat(5000), "xl/zzz2.bin": "b".repeat(5000) });
    const [one, other] = ["xl/zzz1.bin", "xl/zzz2.bin"].map((part) => centralRecord(two, part));
    const view = new DataView(two.buffer, two.byteOffset);
    const overlapping = patched(two, (other ?? 0) + 42, view.getUint32((one ?? 0) + 42, true), 4);
    const outcome = await outcomeOf(patched(overlapping, (other ?? 0) + 20, two.length, 4));
    expect("sentence" in outcome && outcome.sentence).toMatch(/not a whole workbook/);
  });

  test("more parts than any workbook has", async () => {
    const many = Object.fromEntries(Array.from({ length: 6000 }, (_, i) => [`xl/media/image${i}.png`, "x"]));
    expect(await refusal(withParts(good, many))).toMatch(/unpacks to far more/);
  });

  test("says that it has two thousand million entries", async () => {
    const end = good.length - 22;
    expect(await refusal(patched(patched(good, end + 8, 0xffff, 2), end + 10, 0xffff, 2))).toMatch(
      /not a whole workbook/,
    );
  });
});

describe("a file cut short or changed", () => {
  test("at every byte is refused in one sentence or works", async () => {
    for (let length = 0; length < good.length; length++)
      expect(await refusal(good.subarray(0, length)), String(length)).toMatch(/not a whole workbook/);
  });

  test("with any byte changed is refused in one sentence, or gives a copy no larger than an honest one", async () => {
    const honest = (await rewriteFile(good, { mode: "native formulas" }, unwatched)).bytes;
    await fc.assert(
      fc.asyncProperty(fc.nat(good.length - 1), fc.integer({ min: 1, max: 255 }), async (at, change) => {
        const bytes = good.slice();
        bytes[at] = (bytes[at] ?? 0) ^ change;
        const outcome = await outcomeOf(bytes);
        if ("bytes" in outcome) expect(outcome.bytes.length).toBeLessThan(honest.length + 1000);
      }),
      { numRuns: 2000 },
    );
  });

  test("with a piece of any part's text gone is refused in one sentence or works", async () => {
    const texts = textsOf(good);
    const xml = Object.keys(texts).filter((name) => name.endsWith(".xml") || name.endsWith(".rels"));
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...xml), fc.nat(3000), fc.nat(200), async (name, from, length) => {
        const text = texts[name] ?? "";
        const at = from % text.length;
        await outcomeOf(withParts(good, { [name]: text.slice(0, at) + text.slice(at + length) }));
      }),
      { numRuns: 600 },
    );
  });

  test("a part that is damaged and none of ours goes on damaged, for Excel to say so", async () => {
    const more = withParts(good, { "xl/media/image1.png": "picture ".repeat(100) });
    const record = centralRecord(more, "xl/media/image1.png");
    const wrong = patched(more, record + 16, 12345, 4);
    const outcome = await outcomeOf(wrong);
    if (!("bytes" in outcome)) throw new Error(outcome.sentence);
    const after = centralRecord(outcome.bytes, "xl/media/image1.png");
    expect(new DataView(outcome.bytes.buffer).getUint32(after + 16, true)).toBe(12345);
  });
});

describe("names that no part has", () => {
  test.each([
    "../outside.xml",
    "xl/../../outside.xml",
    "/etc/outside",
    "C:/outside.xml",
    "xl\\sheet9.xml",
    "xl/a\nb.xml",
  ])("%j", async (name) =>
    expect(await refusal(withParts(good, { [name]: "x" }))).toMatch(
      /^The file holds a part named .*, which no workbook has/,
    ),
  );

  test("one part twice, in other letters", async () =>
    expect(await refusal(withParts(good, { "XL/Sheet1.xml": "<worksheet/>" }))).toMatch(
      /holds its part .* twice/,
    ));

  test("a name that programs keep for themselves is a part like any other", async () => {
    const file = withParts(good, { nine_char: "x", constructor: "y" });
    const text = new TextDecoder("latin1").decode(file).replaceAll("nine_char", "__proto__");
    const outcome = await outcomeOf(Uint8Array.from(text, (letter) => letter.charCodeAt(0)));
    if (!("bytes" in outcome)) throw new Error(outcome.sentence);
    const after = new TextDecoder("latin1").decode(outcome.bytes);
    for (const name of ["__proto__", "constructor"]) expect(after.split(name)).toHaveLength(3);
  });
});

describe("XML that no workbook has", () => {
  const laughs =
    '<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a "ha">' +
    Array.from({ length: 9 }, (_, i) => `<!ENTITY a${i} "${`&a${i === 0 ? "" : i - 1};`.repeat(10)}">`).join(
      "",
    ) +
    "]><worksheet><sheetData><row><c><v>&a8;</v></c></row></sheetData></worksheet>";
  test("entities that grow a thousand million times", async () =>
    expect(await refusal(withParts(good, { [sheet]: laughs }))).toMatch(/xl\/sheet1\.xml declares entities/));

  test("an outside document type in the content types", async () => {
    const file = withEdited(good, {
      "[Content_Types].xml": (xml) =>
        xml.replace("<Types", '<!DOCTYPE Types SYSTEM "file:///etc/passwd"><Types'),
    });
    expect(await refusal(file)).toMatch(/\[Content_Types\]\.xml declares entities/);
  });

  test("a character set that hides what it says", async () => {
    const wide = new Uint8Array(
      Buffer.from('\ufeff<?xml version="1.0" encoding="UTF-16"?><worksheet/>', "utf16le"),
    );
    const parts = Object.fromEntries(
      Object.entries(textsOf(good)).map(([name, text]) => [name, strToU8(text)]),
    );
    expect(await refusal(zipSync({ ...parts, [sheet]: wide }))).toMatch(/xl\/sheet1\.xml is damaged/);
  });

  test("elements inside one another without end", async () =>
    expect(await refusal(withParts(good, { [sheet]: "<a>".repeat(100_000) }))).toMatch(/nested deeper/));

  test.each([
    ["cells inside cells", `<worksheet><sheetData><row r="1">${"<c>".repeat(300)}`],
    ["tags that are never closed", "<c ".repeat(500_000)],
    ["quotes that are never closed", `<worksheet><sheetData>${'<c r="'.repeat(300_000)}`],
    ["a part that is another one's", "<workbook/>"],
    ["nothing", ""],
  ])("%s", async (_, xml) =>
    expect(await refusal(withParts(good, { [sheet]: xml }))).toMatch(
      /damaged|nested deeper|is not a sheet's|empty/,
    ),
  );

  test.each([
    ["a cell in row a thousand million", '<row r="1000000000"><c r="A1000000000"><v>1</v></c></row>'],
    ["a cell in a column that no sheet has", '<row r="1"><c r="ZZZ1"><v>1</v></c></row>'],
    ["a cell in another row than its row", '<row r="1"><c r="A7"><v>1</v></c></row>'],
    ["a row that is no number", '<row r="one"><c><v>1</v></c></row>'],
  ])("%s", async (_, rows) =>
    expect(
      await refusal(withParts(good, { [sheet]: `<worksheet><sheetData>${rows}</sheetData></worksheet>` })),
    ).toMatch(/where no sheet has one/),
  );

  test("one cell twice", async () => {
    const rows = '<row r="1"><c r="A1"><v>1</v></c><c r="A1"><f>SWARD.PACKS(1,1)</f></c></row>';
    expect(
      await refusal(withParts(good, { [sheet]: `<worksheet><sheetData>${rows}</sheetData></worksheet>` })),
    ).toMatch(/holds the cell A1 twice/);
  });
});

describe("formulas that grow", () => {
  const stopsOf = async (formula: string, more: readonly { address: string; content: number }[] = []) =>
    (
      await rewriteFile(
        plainWorkbook([
          { sheet: "Zones", address: "A1", content: 1 },
          ...more.map((cell) => ({ sheet: "Zones", ...cell })),
          { sheet: "Zones", address: "B1", content: `=${formula}` },
        ]),
        { mode: "native formulas" },
        unwatched,
      )
    ).stopped.map(({ note }) => note);

  test("sixty functions inside one another, each of which doubles the one inside it", async () =>
    expect(await stopsOf(`${"SWARD.PACKS(".repeat(60)}A1${",B2)".repeat(60)}`)).toEqual([
      expect.stringMatching(/more than 8 of our functions inside one another/),
    ]));

  test("eight of them, whose native form is longer than Excel takes", async () =>
    expect(await stopsOf(`${"SWARD.TOPDRESS_BAGS(".repeat(8)}A1${",B2,C2,D2)".repeat(8)}`)).toEqual([
      expect.stringMatching(/^The formula would have [\d,]+ characters where a cell holds 8,192/),
    ]));

  test("a bracket that is not closed", async () =>
    expect(await stopsOf("SWARD.PACKS(A1,")).toEqual([
      expect.stringMatching(/^A bracket is not closed in =SWARD/),
    ]));

  test("a formula of a million characters", async () =>
    expect(await stopsOf(`SWARD.PACKS(A1,1${"+1".repeat(500_000)})`)).toEqual([
      expect.stringMatching(/longer than Excel takes/),
    ]));

  test("a range over a whole sheet with one cell at its far end", async () =>
    expect(
      await stopsOf("SWARD.POLYGON_AREA(A1:XFD1048576)", [{ address: "XFD1048576", content: 1 }]),
    ).toEqual([expect.stringMatching(/covers more cells than/)]));
});

describe("another kind of file under a workbook's name", () => {
  const compound = (inside: string): Uint8Array => {
    const bytes = new Uint8Array(4096);
    bytes.set([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]);
    bytes.set(new Uint8Array(Buffer.from(inside, "utf16le")), 1024);
    return bytes;
  };

  test("locked with a password", async () =>
    expect(await refusal(compound("EncryptedPackage"))).toBe(
      "The file is locked with a password: take the password off, save it, then hand over.",
    ));
  test("parts locked with a password", async () => {
    const record = centralRecord(good, sheet);
    expect(await refusal(patched(good, record + 8, 1, 2))).toMatch(/locked with a password/);
  });
  test("the older form", async () =>
    expect(await refusal(compound("Workbook"))).toMatch(/older \.xls form: save it as \.xlsx/));
  test("text with commas", async () =>
    expect(await refusal(strToU8("Area,Seed\n2500,17.5\n"))).toMatch(/not a whole workbook/));
  test("the binary form", async () => {
    const binary = withEdited(good, {
      "[Content_Types].xml": (xml) =>
        xml.replace(
          /(PartName="\/xl\/workbook.xml" ContentType=")[^"]*/,
          "$1application/vnd.ms-excel.sheet.binary.macroEnabled.main",
        ),
    });
    expect(await refusal(binary)).toMatch(/binary \.xlsb form: save it as \.xlsx/);
  });
  test("a letter", async () => {
    const letter = zipSync(
      Object.fromEntries(
        Object.entries(textsOf(good)).map(([name, text]) => [
          name.replace("xl/workbook", "word/document"),
          strToU8(
            text
              .replaceAll("xl/workbook", "word/document")
              .replace("spreadsheetml.sheet", "wordprocessingml.document"),
          ),
        ]),
      ),
    );
    expect(await refusal(letter)).toMatch(/holds no workbook/);
  });
});

describe("parts that are missing", () => {
  const without = (name: string) =>
    zipSync(
      Object.fromEntries(
        Object.entries(textsOf(good))
          .filter(([part]) => part !== name)
          .map(([part, text]) => [part, strToU8(text)]),
      ),
    );

  test.each([
    ["[Content_Types].xml", /lacks its part \[Content_Types\]\.xml/],
    ["xl/workbook.xml", /holds no workbook/],
    ["xl/_rels/workbook.xml.rels", /lacks the part of its sheet Zones/],
    [sheet, /lacks the part of its sheet Zones/],
  ])("%s", async (name, sentence) => expect(await refusal(without(name))).toMatch(sentence));

  test("two sheets in one part", async () => {
    const file = withEdited(good, {
      "xl/workbook.xml": (xml) =>
        xml.replace("</sheets>", '<sheet name="Again" sheetId="9" r:id="rId1"/></sheets>'),
    });
    expect(await refusal(file)).toMatch(/lacks a part of its own for its sheet Again/);
  });
});

describe("honest files cut short", () => {
  const files = new Map<string, Uint8Array>();
  beforeAll(async () => {
    const written = libraryWorkbooks();
    for (const [name, bytes] of Object.entries(written)) files.set(name, bytes);
    files.set("saved by LibreOffice", await edited(written["calculated.xlsm"], []));
  });

  test.each(["calculated.xlsm", "plain.xlsx", "saved by LibreOffice"])("%s, at many places", async (name) => {
    const bytes = files.get(name) ?? new Uint8Array();
    await fc.assert(
      fc.asyncProperty(fc.nat(bytes.length - 1), async (length) => {
        const outcome = await outcomeOf(bytes.subarray(0, length));
        if ("bytes" in outcome) expect(outcome.bytes.length).toBeLessThan(2 * bytes.length);
      }),
      { numRuns: 500 },
    );
  });
});

/** Map files in the encodings that programs write, and in such as nobody should: read right, or refused in one sentence. */
import { describe, expect, test } from "vitest";
import { fileText } from "../../../src/workbook/outlines/file-text";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { readOutlines } from "./support";

const kml = (name: string, encoding?: string) =>
  `${encoding === undefined ? "" : `<?xml version="1.0" encoding="${encoding}"?>\n`}<kml><Placemark><name>${name}</name>` +
  `<Polygon><outerBoundaryIs><LinearRing><coordinates>-76.1,40.1 -76.1001,40.1 -76.1001,40.1001</coordinates>` +
  `</LinearRing></outerBoundaryIs></Polygon></Placemark></kml>`;

const geoJson = (name: string) =>
  JSON.stringify({
    type: "Feature",
    properties: { name },
    geometry: {
      type: "Polygon",
      coordinates: [
        [
          [-76.1, 40.1],
          [-76.1001, 40.1],
          [-76.1001, 40.1001],
          [-76.1, 40.1],
        ],
      ],
    },
  });

const bytes = (...parts: (string | readonly number[] | Uint8Array)[]) =>
  new Uint8Array(
    Buffer.concat(
      parts.map((part) => (typeof part === "string" ? Buffer.from(part, "utf8") : Buffer.from(part))),
    ),
  );
const little = (text: string) => new Uint8Array(Buffer.from(text, "utf16le"));
const big = (text: string) => new Uint8Array(Buffer.from(text, "utf16le").swap16());
/** The text with one place in it for bytes that no string can hold. */
const around = (text: string, inside: readonly number[]) => {
  const [before = "", after = ""] = text.split("@");
  return bytes(before, inside, after);
};

const [utf8Mark, littleMark, bigMark] = [
  [0xef, 0xbb, 0xbf],
  [0xff, 0xfe],
  [0xfe, 0xff],
];

const nameIn = (file: Uint8Array): string | undefined =>
  readOutlines("plan", fileText("plan", file)).outlines[0]?.name;

describe("a map file is read in the encoding that it declares", () => {
  // Bytes by the tables of each encoding.
  test.each<[string, Uint8Array, string]>([
    ["nothing said: UTF-8", bytes(kml("Größe 庭")), "Größe 庭"],
    ["UTF-8", bytes(kml("Größe 庭", "UTF-8")), "Größe 庭"],
    ["ISO-8859-1", around(kml("Gr@e", "ISO-8859-1"), [0xf6, 0xdf]), "Größe"],
    ["iso-8859-1 in small letters", around(kml("Caf@", "iso-8859-1"), [0xe9]), "Café"],
    // Its quotes are tried in a browser, since Node takes this encoding for its older sister.
    ["windows-1252", around(kml("Caf@", "windows-1252"), [0xe9]), "Café"],
    ["ISO-8859-15", around(kml("@ lawn", "ISO-8859-15"), [0xa4]), "€ lawn"],
    ["windows-1251", around(kml("@", "windows-1251"), [0xd1, 0xe0, 0xe4]), "Сад"],
    ["KOI8-R", around(kml("@", "KOI8-R"), [0xf3, 0xc1, 0xc4]), "Сад"],
    ["Shift_JIS", around(kml("@", "Shift_JIS"), [0x92, 0xeb]), "庭"],
    ["US-ASCII", bytes(kml("Lawn", "US-ASCII")), "Lawn"],
    ["UTF-16 with its mark", bytes(littleMark, little(kml("Größe 庭", "UTF-16"))), "Größe 庭"],
    ["UTF-16, the other way round", bytes(bigMark, big(kml("Größe 庭", "UTF-16"))), "Größe 庭"],
    ["UTF-16 without a mark", little(kml("Größe", "UTF-16LE")), "Größe"],
    ["UTF-16 without a mark, the other way round", big(kml("Größe", "UTF-16BE")), "Größe"],
    ["UTF-8 with its mark", bytes(utf8Mark, kml("Größe", "UTF-8")), "Größe"],
    ["GeoJSON", bytes(geoJson("Größe 庭")), "Größe 庭"],
    ["GeoJSON with the mark of UTF-8", bytes(utf8Mark, geoJson("Größe")), "Größe"],
    ["GeoJSON in UTF-16", bytes(littleMark, little(geoJson("Größe"))), "Größe"],
    ["GeoJSON in UTF-16, the other way round", bytes(bigMark, big(geoJson("Größe"))), "Größe"],
  ])("%s", (_, file, name) => expect(nameIn(file)).toBe(name));

  test("in single quotes and with spaces, as XML allows", () => {
    const text = kml("Caf@", "ISO-8859-1").replace(/encoding="([^"]+)"/, "encoding = '$1' standalone='yes'");
    expect(nameIn(around(text, [0xe9]))).toBe("Café");
  });
});

describe("a declaration that is wrong", () => {
  test.each<[string, Uint8Array, string]>([
    ["is overruled by the mark of UTF-8", bytes(utf8Mark, kml("Größe", "ISO-8859-1")), "Größe"],
    ["is overruled by the mark of UTF-16", bytes(littleMark, little(kml("Größe", "UTF-8"))), "Größe"],
    ["of UTF-16 over a text of single bytes is none", bytes(kml("Größe", "UTF-16")), "Größe"],
    ["of ASCII over UTF-8 is harmless", bytes(kml("Größe", "US-ASCII")), "Größe"],
    [
      "that stands in a remark is none",
      bytes(kml("Größe").replace("<kml>", '<kml><!-- <?xml version="1.0" encoding="KOI8-R"?> -->')),
      "Größe",
    ],
  ])("%s", (_, file, name) => expect(nameIn(file)).toBe(name));
});

describe("what cannot be read for certain is refused in one sentence that says what to do", () => {
  const refused = /^"plan" [^.]*: save[^.]*UTF-8[^.]*\.$/;
  test.each<[string, Uint8Array]>([
    ["UTF-8 that is ISO-8859-1", around(kml("Gr@e", "UTF-8"), [0xf6, 0xdf])],
    ["nothing said, in ISO-8859-1", around(kml("Caf@"), [0xe9])],
    ["GeoJSON in ISO-8859-1", around(geoJson("Caf@"), [0xe9])],
    ["UTF-16 declared, single bytes, not UTF-8", around(kml("Caf@", "UTF-16"), [0xe9])],
    ["ASCII declared, single bytes beyond it", around(kml("Caf@", "US-ASCII"), [0xe9])],
    ["an overlong slash", around(kml("a@b", "UTF-8"), [0xc0, 0xaf])],
    ["half a pair in UTF-8", around(kml("a@b", "UTF-8"), [0xed, 0xa0, 0x80])],
    ["half a pair in UTF-16", bytes(littleMark, little(kml("a\ud800b", "UTF-16")))],
    ["half a character at the end of UTF-16", bytes(littleMark, little(kml("ab", "UTF-16")), [0x20])],
    ["cut within a character", bytes(kml("Lawn"), [0xc3])],
    ["half a character of Shift_JIS", around(kml("a@b", "Shift_JIS"), [0x92, 0x20])],
    ["an encoding that nobody knows", bytes(kml("Lawn", "x-klingon"))],
    ["UTF-7", bytes(kml("+AEw-awn", "UTF-7"))],
    ["an encoding that browsers refuse for safety", bytes(kml("Lawn", "ISO-2022-KR"))],
    [
      "UTF-32",
      bytes(
        [0xff, 0xfe, 0, 0],
        [...little(kml("Lawn"))].flatMap((byte, i) => (i % 2 ? [byte, 0, 0] : [byte])),
      ),
    ],
    ["UTF-32, the other way round", bytes([0, 0, 0xfe, 0xff], [0, 0, 0, 0x3c])],
    ["a name of an encoding that is a whole text", bytes(kml("Lawn", `X${"y".repeat(30_000)}`))],
    ["a name of an encoding that is markup", bytes(kml("Lawn", "<b>&amp;"))],
  ])("%s", (_, file) => {
    let sentence = "";
    try {
      nameIn(file);
    } catch (error) {
      expect(error).toBeInstanceOf(WorkbookTrouble);
      sentence = (error as Error).message;
    }
    expect(sentence).toMatch(refused);
    expect(sentence.length).toBeLessThan(250);
  });
});

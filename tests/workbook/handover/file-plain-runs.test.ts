/** A sheet's rows are mostly read without the parser: what is told of them is what the parser tells. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { passing } from "../../../src/workbook/handover/file/xml-passing";
import { walk } from "../../../src/workbook/handover/file/xml-walk";

const told = (xml: string | readonly string[]): readonly unknown[] => {
  const whole = typeof xml === "string" ? xml : xml.join("");
  const events: unknown[] = [];
  walk("sheet", xml, {
    open: ({ name, attributes, start, inside, single, parent }) =>
      events.push([
        "open",
        name,
        { ...attributes },
        parent?.name,
        single,
        whole.slice(start, inside).replace(/\s+/g, " "),
      ]),
    close: ({ name, text, start, inside, insideEnd, end }) =>
      events.push([
        "close",
        name,
        name === "row" || name === "sheetData" ? "" : text,
        whole.slice(inside, insideEnd).replace(/\s+/g, " "),
        whole.slice(start, end).replace(/\s+/g, " "),
      ]),
  });
  return events;
};

const sheet = (rows: string): string =>
  `<?xml version="1.0"?><worksheet xmlns="m"><sheetData>${rows}</sheetData><f>A1&gt;2</f></worksheet>`;

const text = fc.constantFrom(
  "",
  "1",
  "a b",
  'A1&amp;"x"',
  "&lt;&gt;&quot;&apos;",
  "línea",
  "zwei\nZeilen",
  "&#65;",
  "a>b",
  "😀",
  "<!-- a > b -->",
  "<![CDATA[<c>]]>",
);
const formula = fc
  .tuple(fc.constantFrom("", ' t="shared" si="0"', ' t="array" ref="A1:A2"', " aca='false'"), text)
  .map(([spelt, inside]) => (inside === "" ? `<f${spelt}/>` : `<f${spelt}>${inside}</f>`));
const cell = fc
  .tuple(
    fc.constantFrom("", ' r="A1"', ' r="B2" s="3" t="str"', " r='C3'", ' r="D4" note="&amp;"'),
    fc.option(formula),
    fc.option(text),
    fc.option(text),
    fc.constantFrom("", ' xml:space="preserve"', ' xml:space = "preserve"'),
  )
  .map(([spelt, f, v, shown, space]) => {
    const inside = `${f ?? ""}${v === null ? "" : `<v>${v}</v>`}${shown === null ? "" : `<is><t${space}>${shown}</t></is>`}`;
    return inside === "" ? `<c${spelt}/>` : `<c${spelt}>${inside}</c>`;
  });
const aside = fc.constantFrom(
  "",
  "",
  "",
  "\n",
  " ",
  "<!-- <c/> > -->",
  "<?note > ?>",
  "<extLst><c><v>1</v></c></extLst>",
);
const row = fc
  .tuple(
    fc.constantFrom("", ' r="1"', " r='2'"),
    fc.array(fc.tuple(aside, cell)),
    aside,
    fc.constantFrom("</row>", "</row >"),
  )
  .map(([spelt, cells, last, end]) => `<row${spelt}>${cells.flat().join("")}${last}${end}`);

/** The same, spelt so that every tag needs the parser. */
const unusual = (xml: string): string =>
  xml.replace(
    /<!--.*?-->|<\?.*?\?>|<!\[CDATA\[.*?\]\]>|<(\/?)(c|row)\b/gs,
    (whole, slash: string | undefined, name: string | undefined) =>
      name === undefined || slash === "/" ? whole : `<${name}\n`,
  );

const cut = (whole: string, size: number): readonly string[] =>
  Array.from({ length: Math.ceil(whole.length / size) }, (_, i) => whole.slice(i * size, (i + 1) * size));

describe("what is told of a sheet's rows", () => {
  test("is the same however they are spelt and cut", () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 6 }), fc.integer({ min: 1, max: 300 }), (rows, size) => {
        const xml = sheet(rows.join(""));
        const expected = told(unusual(xml)).map((event) => JSON.stringify(event).replaceAll(" ", ""));
        expect(told(xml).map((event) => JSON.stringify(event).replaceAll(" ", ""))).toEqual(expected);
        expect(told(cut(xml, size))).toEqual(told(xml));
        expect([...passing("sheet", cut(xml, size), {})].join("")).toBe(xml);
      }),
      { numRuns: 50 },
    );
  });

  test("of shared texts too", () => {
    const items = [
      "<si><t>a &amp; b</t></si>",
      '<si><t xml:space="preserve"> c</t></si>',
      "<si><r><t>d</t></r></si>",
    ];
    const xml = `<sst>${items.join("\n")}</sst>`;
    expect(told(xml).filter((event) => (event as unknown[])[1] === "t")).toHaveLength(6);
    expect(told(cut(xml, 7))).toEqual(told(xml));
    expect(told(xml.replaceAll("<si>", "<si >"))).toHaveLength(told(xml).length);
  });

  test.each([
    ["an attribute that is there twice", '<row r="1"><c r="A1" r="A2"/></row>'],
    ["a text that names an entity", '<row r="1"><c r="A1"><v>&home;</v></c></row>'],
    ["an ampersand by itself", '<row r="1"><c r="A1"><v>a & b</v></c></row>'],
    ["a row that does not end", '<row r="1"><c r="A1"/>'],
    ["a row that ends twice", '<row r="1"><c r="A1"/></row></row>'],
    ["a cell that ends as another", '<row r="1"><c r="A1"></v></row>'],
    ["the end of a section that none began", '<row r="1"><c r="A1"><v>]]></v></c></row>'],
    ["a sign that no text may hold", '<row r="1"><c r="A1"><v>\u0001</v></c></row>'],
  ])("%s is damage, as the parser says", (_, rows) => {
    expect(() => told(sheet(rows))).toThrow(/is damaged/);
    expect(() => told(cut(sheet(rows), 5))).toThrow(/is damaged/);
  });
});

import { describe, expect, it } from "vitest";
import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import { plainWorkbook, recalculate, recalculateFormulas, toPdf } from "./libreoffice";
import type { CellContent } from "./libreoffice";

/** One column of formulas, with what stands in it after recalculation. */
async function column(formulas: readonly CellContent["content"][]) {
  const cells = formulas.map((content, index) => ({ sheet: "Bid", address: `A${index + 1}`, content }));
  const sheets = await recalculateFormulas(cells);
  return sheets.get("Bid")?.map(([value]) => value);
}

describe("a recalculated cell", () => {
  it("keeps every bit of a number", async () => {
    const values = await column([
      "=1/3",
      "=0.1+0.2",
      "=PI()*10000000000",
      "=2^53",
      "=-(2^-1000)/3",
      0.1 + 0.2,
      12,
    ]);
    expect(values).toEqual([
      1 / 3,
      0.1 + 0.2,
      Math.PI * 1e10,
      9007199254740992,
      -(2 ** -1000) / 3,
      0.30000000000000004,
      12,
    ]);
  });

  it("tells errors apart", async () => {
    const values = await column(["=1/0", '="a"+1', "=NA()", "=NOSUCH(1)", "=10^400", "=SQRT(-1)"]);
    expect(values).toEqual(["#DIV/0!", "#VALUE!", "#N/A", "#NAME?", "#NUM!", "#VALUE!"]);
  });

  it("keeps text as it is, and tells it from numbers, logical values and blanks", async () => {
    const text = 'two\nlines, a \\n that is none, "quotes", <marks> & ½″';
    const values = await column([
      text,
      '="a"&CHAR(9)&"tab"',
      '="5"',
      '=""',
      "=TRUE()",
      "=1=2",
      true,
      1,
      "=A99",
      "plain",
    ]);
    expect(values).toEqual([text, "a\ttab", "5", "", true, false, true, 1, 0, "plain"]);
  });

  it("stands in its place among blanks and other sheets", async () => {
    const sheets = await recalculateFormulas([
      { sheet: "It's a site, measured", address: "C3", content: 2500 },
      { sheet: "Order", address: "B1", content: "='It''s a site, measured'!C3*2" },
      { sheet: "Order", address: "AA2", content: "far" },
      { sheet: "Order", address: "B2", content: "near" },
    ]);
    expect([...sheets.keys()]).toEqual(["It's a site, measured", "Order"]);
    expect(sheets.get("It's a site, measured")).toEqual([
      [null, null, null],
      [null, null, null],
      [null, null, 2500],
    ]);
    expect(sheets.get("Order")?.[0]?.slice(0, 3)).toEqual([null, 5000, null]);
    expect(sheets.get("Order")?.[1]).toHaveLength(27);
    expect(sheets.get("Order")?.[1]?.[26]).toBe("far");
  });

  it("has its 5,000 neighbours in one run, equal to what the same sums give here", async () => {
    const numbers = Array.from({ length: 5000 }, (_, index) => index + 1);
    const values = await column(numbers.map((n) => `=(${n}*${n}/7+${n}/1000)*1.0936`));
    expect(values).toEqual(numbers.map((n) => ((n * n) / 7 + n / 1000) * 1.0936));
  });
});

describe("a workbook", () => {
  it("is recalculated although it carries a cached result", async () => {
    const parts = unzipSync(plainWorkbook([{ sheet: "Bid", address: "A1", content: "=6*7" }]));
    const sheet = strFromU8(parts["xl/sheet1.xml"] ?? new Uint8Array());
    const stale = sheet.replace("</f>", "</f><v>41</v>");
    expect(stale).not.toBe(sheet);
    expect(await recalculate(zipSync({ ...parts, "xl/sheet1.xml": strToU8(stale) }))).toEqual(
      new Map([["Bid", [[42]]]]),
    );
  });

  it("recalculates beside others at the same time", async () => {
    const values = await Promise.all([1, 2, 3].map((n) => column([`=${n}*11`])));
    expect(values).toEqual([[11], [22], [33]]);
  });

  it("prints to PDF", async () => {
    const pdf = await toPdf(plainWorkbook([{ sheet: "Bid", address: "A1", content: 1 }]));
    expect(new TextDecoder().decode(pdf.slice(0, 5))).toBe("%PDF-");
  });

  it("that is none is refused with the reason", async () => {
    await expect(recalculate(new Uint8Array([80, 75, 1, 2]))).rejects.toThrow(/LibreOffice/);
  });

  it("that takes too long is given up", async () => {
    const slow = recalculateFormulas([{ sheet: "Bid", address: "A1", content: 1 }], { timeoutMs: 50 });
    await expect(slow).rejects.toThrow("not done after 50 ms");
  });

  it("is not built from an address that is none", async () => {
    await expect(recalculateFormulas([{ sheet: "Bid", address: "1A", content: 1 }])).rejects.toThrow('"1A"');
  });
});

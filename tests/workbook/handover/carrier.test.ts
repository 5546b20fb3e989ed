/** A cell that carries its own original: whatever the original says, it can be read back letter by letter. */
import { tokenize } from "@borgar/fx";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { carried, carriedPart, readCarrier } from "../../../src/workbook/handover/carrier";

const none = () => false;

const there = (
  original: string,
  native: string | number = "=1+1",
  computed: (one: string) => boolean = none,
) => readCarrier(carried(original, native, computed));

describe("the original as text, its references as further arguments", () => {
  test("as people read it", () => {
    expect(carried("=SWARD.PACKS(SWARD.SEED_WEIGHT(B2,C2),$D$2)", "=ROUNDUP(B2*C2/D2,0)", none)).toBe(
      '=CHOOSE(1,ROUNDUP(B2*C2/D2,0),"=SWARD.PACKS(SWARD.SEED_WEIGHT({1},{2}),{3})",B2,C2,$D$2)',
    );
  });

  test("a reference that a formula fills is marked, so that the guards are known at the return", () => {
    const formula = carried("=SWARD.PACKS(B2,C2)", "=B2/C2", (one) => one === "C2");
    expect(formula).toBe('=CHOOSE(1,B2/C2,"=SWARD.PACKS({1},{=2})",B2,C2)');
    expect(readCarrier(formula)).toMatchObject({ original: "=SWARD.PACKS(B2,C2)", computed: ["C2"] });
  });

  test("a value stands where no native form is, text in quotes, an error as it is", () => {
    expect(carried("=SWARD.EDITION()", 'it is "1.2"', none)).toBe(
      '=CHOOSE(1,"it is ""1.2""","=SWARD.EDITION()")',
    );
    expect(carried("=SWARD.PACK_MIX(A1,B1,C1)", 3, none)).toBe(
      '=CHOOSE(1,3,"=SWARD.PACK_MIX({1},{2},{3})",A1,B1,C1)',
    );
    expect(carried("=SWARD.PACK_MIX(A1,B1,C1)", "#VALUE!", none)).toContain("CHOOSE(1,#VALUE!,");
  });

  test("the same reference twice is one argument", () => {
    expect(carried("=SWARD.PACKS(B2,B2)+B2", "=2", none)).toBe('=CHOOSE(1,2,"=SWARD.PACKS({1},{1})+{1}",B2)');
  });

  test("a cell of a spill points to the one that carries", () => {
    const formula = carriedPart("=B2*3", "D2");
    expect(formula).toBe('=CHOOSE(1,B2*3,"filled from {1}",D2)');
    expect(readCarrier(formula)).toEqual({ first: "=B2*3", anchor: "D2" });
  });

  test.each([
    '=SWARD.PACKS(A1,2)&"{1} and {2} and }{ and {{1}}"',
    "=SWARD.POLYGON_AREA({1,2;3,4;5,6})+SWARD.PACKS(A1,{1})",
    '=SWARD.PACKS(A1,2)&"she said ""{1}"""',
    "=SWARD.PACKS('it''s {1}'!$A$1,'[Old bids.xlsx]S {2}'!B$2)",
    "=SWARD.PACKS(SUM(A:A,1:1,Zones[Area],Zones[[#This Row],[Rate {1}]],[@z]),Rate)",
    "=SWARD.PACKS(SUM(D2#),@E1:E9)+SUM(First:Last!B2:B4)",
    "=SWARD.PACKS(SUM((A1,B2:C3) A1:D9),A1:INDEX(B:B,3))",
    "=LET(x,A1,pack,Rate,SWARD.PACKS(x,pack)*x)",
    "=_xlfn.LET(_xlpm.x,A1,SWARD.PACKS(_xlpm.x,2))",
    "=SWARD.PACKS( A1 ,\n\t2 )\r\n",
    "=SWARD.PACKS(#REF!,Sheet1!#REF!)+#N/A",
    "=SWARD.PACKS(TRUE,FALSE())+TRUE",
    '=SWARD.PACKS(1E+3,.5%)&"🌱🌿" & "„Hof\u00a0Süd“"',
    '=SWARD.EACH_ROW("SEED_WEIGHT",A1:A3,,7)',
    '=CHOOSE(1,SWARD.PACKS(A1,2),"=SWARD.PACKS({1},2)",A1)',
  ])("%s comes back", (original) => {
    expect(there(original)).toMatchObject({ original, first: "=1+1" });
  });

  test("texts are cut into pieces of 255 characters, and no letter of two halves is", () => {
    for (let filler = 200; filler < 260; filler++) {
      const original = `=SWARD.PACKS(A1,2)&"${"a".repeat(filler)}🌱""${"🌿".repeat(300)}"`;
      const formula = carried(original, "=1", none);
      const pieces = tokenize(formula).filter(({ type }) => type === "string");
      expect(pieces.length).toBeGreaterThan(3);
      for (const { value } of pieces.map((piece) => ({ value: piece.value.slice(1, -1) }))) {
        expect(value.length).toBeLessThanOrEqual(255);
        expect(value).not.toMatch(/[\uD800-\uDBFF]$|^[\uDC00-\uDFFF]/);
      }
      expect(readCarrier(formula)).toMatchObject({ original });
    }
  });
});

const reference = fc.constantFrom(
  "A1",
  "$B$2",
  "C$3:$D4",
  "E:E",
  "$7:9",
  "Site!F1",
  "'Price book {1}'!G2:H9",
  "'it''s'!A1",
  "Rate",
  "Site!Rate",
  "Zones[Area]",
  "Zones[[#This Row],[the {2}]]",
  "J1#",
  "@K1:K9",
  "#REF!",
);
const text = fc
  .array(
    fc.constantFrom(
      "{1}",
      "{",
      "}",
      '""',
      "🌱",
      " ",
      "a",
      "=",
      "\n",
      "'",
      "[",
      "SWARD.PACKS(",
      ",",
      "\\",
      "{=2}",
      "{n}",
    ),
  )
  .map((parts) => `"${parts.join("")}"`);
const { formula } = fc.letrec<{ term: string; formula: string }>((tie) => ({
  term: fc.oneof(
    { depthSize: "small" },
    reference,
    text,
    fc.constantFrom("7", "-.5", "3%", "1E-3", "TRUE", "{1}", '{1,2;"{1}",4}'),
    fc
      .tuple(fc.constantFrom("SUM", "SWARD.PACKS", "IF"), tie("term"), tie("term"))
      .map(([f, a, b]) => `${f}(${a}, ${b})`),
    fc
      .tuple(tie("term"), fc.constantFrom("+", "&", "*", ":", ",", " "), tie("term"))
      .map(([a, o, b]) => `(${a}${o}${b})`),
  ),
  formula: fc.tuple(tie("term"), tie("term")).map(([a, b]) => `=SWARD.SEED_WEIGHT(${a},${b})`),
}));

test("any formula comes back letter by letter, whatever stands before it", () => {
  fc.assert(
    fc.property(formula, formula, fc.func(fc.boolean()), (original, native, computed) => {
      const read = readCarrier(carried(original, native, computed));
      expect(read).toMatchObject({ original, first: native });
    }),
    { numRuns: 500, seed: 10 },
  );
});

describe("what is no carrier of ours", () => {
  test.each([
    "",
    "12",
    "=1+1",
    "=CHOOSE(1,2,3)",
    '=CHOOSE(2,1,"=SWARD.PACKS({1},2)",A1)',
    '=CHOOSE(1,5,"=PACKS({1},2)",A1)',
    '=CHOOSE(1,5,"SWARD.PACKS is ours",A1)',
    '=SUM(CHOOSE(1,5,"=SWARD.PACKS({1},2)",A1))',
    '=CHOOSE(1,5,"=SWARD.PACKS({1},2)",A1)*2',
    "=CHOOSE(1,",
  ])("%s", (formula) => {
    expect(readCarrier(formula)).toBeUndefined();
  });
});

describe("a carrier that was tampered with", () => {
  test.each([
    ["a place without its reference", '=CHOOSE(1,5,"=SWARD.PACKS({1},{2})",A1)'],
    ["a reference written out in the text", '=CHOOSE(1,5,"=SWARD.PACKS({1},[x.xlsx]S!A1)",A1)'],
    ["a name written out in the text", '=CHOOSE(1,5,"=SWARD.PACKS({1},Secret)",A1)'],
    ["a formula where a reference belongs", '=CHOOSE(1,5,"=SWARD.PACKS({1},2)",WEBSERVICE("x"))'],
    ["two references in one place", '=CHOOSE(1,5,"=SWARD.PACKS({1},2)",A1+B1)'],
    ["a lone brace", '=CHOOSE(1,5,"=SWARD.PACKS({1},{)",A1)'],
    ["a bracket that is not closed", '=CHOOSE(1,5,"=SWARD.PACKS({1},2",A1)'],
  ])("%s is told, and nothing of it is used", (_, formula) => {
    expect(readCarrier(formula)).toMatchObject({ damaged: true });
  });
});

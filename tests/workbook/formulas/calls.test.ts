import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { callsIn, mayHoldCalls } from "../../../src/workbook/formulas/calls";
import { isReference, literalOf } from "../../../src/workbook/formulas/tokens";
import { parameterAt } from "../../../src/workbook/formulas/call-parameters";
import { rewriteNatively, rewriteSpill } from "../../../src/workbook/formulas/rewrite-calls";
import { findingLimits } from "../../../src/workbook/writing/limits";
import { atOnce } from "../../../src/workbook/host/progress";
import type { Surroundings } from "../../../src/workbook/formulas/rewrite-calls";

/** A workbook in which the cells of column Z are worked out and every call without a native form is worth 5. */
const surroundings: Surroundings = {
  isComputed: (reference) => reference.startsWith("Z"),
  valueOf: () => 5,
  spillOf: () => [[5]],
};
const fail = (): never => {
  throw new Error("no call found");
};
const native = (formula: string): string => rewriteNatively(formula, surroundings).text;

describe("finding our calls in a formula", () => {
  test("in any letter case, nested ones after the one they stand in", () => {
    const formula = "=sward.packs(SWARD.SEED_WEIGHT(A1,7),50)+SUM(B1:B3)";
    expect(callsIn(formula).map(({ text }) => text)).toEqual([
      "sward.packs(SWARD.SEED_WEIGHT(A1,7),50)",
      "SWARD.SEED_WEIGHT(A1,7)",
    ]);
  });

  test("arguments are cut at the commas of the call alone", () => {
    const [call] = callsIn('=SWARD.SEASON_ROOM(IF(A1>0,1,2),{1,2;3,4},"a,b",,T[[#This Row],[x, y]])');
    expect(call?.given).toEqual(["IF(A1>0,1,2)", "{1,2;3,4}", '"a,b"', "", "T[[#This Row],[x, y]]"]);
  });

  test("a call in quotes is text, not a call", () => {
    expect(callsIn('="SWARD.PACKS(1,2)"')).toEqual([]);
    expect(mayHoldCalls("SWARD.PACKS(1,2)")).toBe(false);
  });

  test.each([
    ["7", 7],
    ["-2.5e3", -2500],
    ["20%", 0.2],
    ['"it""s"', 'it"s'],
    ["A1", undefined],
    ["1+1", undefined],
  ])("%s written out is %s", (text, value) => expect(literalOf(text)).toBe(value));

  test.each(["A1", "$B$2:C9", "Site!A1", "'My sheet'!A1:B2", "area_total", "Table1[Area]"])(
    "%s is one reference",
    (text) => expect(isReference(text)).toBe(true),
  );
  test.each(["A1+1", "(A1)", "SUM(A1)", "7"])("%s is not one reference", (text) =>
    expect(isReference(text)).toBe(false),
  );
});

describe("rewriting", () => {
  test("only our calls are touched, every other character stays", () => {
    expect(native('=IF(A1>10,  100 / SWARD.PACKS(A1, 7)-1,"none")')).toBe(
      '=IF(A1>10,  100 / ROUNDUP(ROUND(A1/7,9),0)-1,"none")',
    );
  });

  test("brackets come where the sum needs them, and only there", () => {
    expect(native("=100/SWARD.LABEL_DOSE(A1,B1)")).toBe("=100/(A1*B1/43560)");
    expect(native("=100*SWARD.LABEL_DOSE(A1,B1)")).toBe("=100*A1*B1/43560");
    expect(native("=1-SWARD.SEASON_ROOM(A1,B1)")).toBe("=1-(A1-SUM(B1))");
    expect(native("=1+SWARD.SEASON_ROOM(A1,B1)")).toBe("=1+A1-SUM(B1)");
    expect(native("=SWARD.LABEL_DOSE(A1+A2,B1)")).toContain("(A1+A2)*B1/43560");
    expect(native("=(SWARD.LABEL_DOSE(A1,B1))^2")).toBe("=(A1*B1/43560)^2");
    expect(native("=SWARD.LABEL_DOSE(A1,B1)%")).toBe("=(A1*B1/43560)%");
  });

  test("sheet names in quotes, names and structured references go through as they are", () => {
    expect(native("=SWARD.LABEL_DOSE('My sheet'!$A$1,rate)")).toContain("'My sheet'!$A$1*rate/43560");
    expect(native("=SWARD.LABEL_DOSE(Zones[[#This Row],[Area]],4)")).toContain(
      "Zones[[#This Row],[Area]]*4/43560",
    );
  });

  test("a function this edition does not know cannot be converted, and is named", () => {
    expect(() => native("=SWARD.NOT_YET_KNOWN(1)")).toThrow(/SWARD\.NOT_YET_KNOWN/);
  });

  test("a call without a native form becomes its value", () => {
    const { text, asValues } = rewriteNatively("=2*SWARD.EDITION()", surroundings);
    expect(text).toBe("=2*5");
    expect(asValues.map(({ name }) => name)).toEqual(["SWARD.EDITION"]);
  });

  test("inputs taken on trust are listed, computed ones carry a guard instead", () => {
    const { text, inputs } = rewriteNatively("=SWARD.LABEL_DOSE(A1,Z1)", surroundings);
    expect(inputs.map(({ reference, position }) => [reference, position])).toEqual([["A1", 0]]);
    expect(text).toBe("=IF(A1=0,0,IF(Z1>0,A1*Z1/43560,NA()))");
  });

  test("what goes down the rows is watched by the limits of the function that it is for", () => {
    const { inputs, cells } = rewriteSpill(
      callsIn('=SWARD.EACH_ROW("SWARD.LABEL_DOSE",A1:A2,B1:B2)')[0] ?? fail(),
      { ...surroundings, spillOf: () => [[5], [5]] },
    );
    expect(cells).toEqual([["=A1*B1/43560"], ["=A2*B2/43560"]]);
    expect(
      atOnce(
        findingLimits(
          inputs.map((input) => ({ home: "Site", input })),
          () => surroundings,
        ),
      ),
    ).toMatchObject([
      { sheet: "Site", address: "A1:A2", parameter: { id: "area", least: 0 } },
      { sheet: "Site", address: "B1:B2", parameter: { id: "label_rate", above: 0 } },
    ]);
  });

  test("and by a guard in the formula where it is worked out", () => {
    const { cells } = rewriteSpill(callsIn('=SWARD.EACH_ROW("MARGIN_PRICE",A1:A2,Z1:Z2)')[0] ?? fail(), {
      ...surroundings,
      isComputed: (one) => one.startsWith("Z"),
      spillOf: () => [[5], [5]],
    });
    expect(cells[1]).toEqual(["=IF(A2=0,0,IF(AND(Z2>0,Z2<1),A2/(1-Z2),NA()))"]);
  });

  test("every repeated argument is watched, and a season with nothing given yet is the limit itself", () => {
    const { text, inputs } = rewriteNatively(
      "=SWARD.SEASON_ROOM(90)-SWARD.SEASON_ROOM(A1,,B1,C1:C3)",
      surroundings,
    );
    expect(text).toBe("=90-(A1-SUM(B1,C1:C3))");
    expect(inputs.map(({ call, position }) => parameterAt(call, position)?.id)).toEqual([
      "season_limit",
      "applied",
      "applied",
    ]);
  });

  test("a formula without a call of ours is returned letter by letter", () => {
    const piece = fc.constantFrom(
      "A1",
      "SUM( B2:B9 )",
      "'It''s'!C3",
      '"SWARD.PACKS("',
      "12.5%",
      "T[#All]",
      "-3",
    );
    const operator = fc.constantFrom(" + ", "*", "&", "<=", "^");
    fc.assert(
      fc.property(
        fc.array(fc.tuple(piece, operator), { minLength: 1, maxLength: 6 }),
        piece,
        (parts, last) => {
          const formula = `=${parts.map(([text, sign]) => text + sign).join("")}${last}`;
          expect(native(formula)).toBe(formula);
        },
      ),
    );
  });
});

describe("what would grow without end is not put together", () => {
  const nested = (levels: number): string => `=${"SWARD.PACKS(".repeat(levels)}A1${",B1)".repeat(levels)}`;

  test.each([9, 18, 64])(
    "%i functions inside one another, each of which writes the inner one twice",
    (levels) => {
      expect(() => native(nested(levels))).toThrow(/characters where a cell holds 8,192/);
      expect(callsIn(nested(levels))).toHaveLength(levels);
    },
  );

  test("six of them are written out", () => {
    expect(native(nested(6)).length).toBeLessThan(8192);
  });

  test("a spill over more cells than are written out is refused before the first", () => {
    let asked = 0;
    const [call] = callsIn('=SWARD.EACH_ROW("PACKS",A1:A30000,2)');
    const shown = Array.from({ length: 30_000 }, () => [1]);
    expect(() =>
      rewriteSpill(call ?? fail(), {
        ...surroundings,
        isComputed: () => {
          asked++;
          return false;
        },
        spillOf: () => shown,
      }),
    ).toThrow(/^SWARD\.EACH_ROW fills 30,000 cells, .* 20,000 at most: give it fewer rows/);
    expect(asked).toBe(0);
  });

  test("sizes of packs on more cells than the function takes have the form of what is refused", () => {
    const [call] = callsIn("=SWARD.PACK_MIX(A1,B1:Z1000000)");
    const { cells } = rewriteSpill(call ?? fail(), { ...surroundings, spillOf: () => [[1]] });
    expect(cells).toEqual([["=IF(A1=0,0,NA())"]]);
  });
});

import { describe, expect, test } from "vitest";
import { functionNamed } from "../../src/engine/catalogue";
import type { SpillPlace } from "../../src/engine/formula";
import type { NativeArgument } from "../../src/engine/native/pieces";
import { nativeCell } from "../../src/engine/native/spilled";
import { nativeForm } from "../../src/engine/native/form";
import { binding, leftOut, NoNativeForm } from "../../src/engine/native/pieces";
import { recalculateInIronCalc } from "../support/ironcalc";

const definitionOf = (id: string) => {
  const definition = functionNamed(id);
  if (definition === undefined) throw new Error(`${id} is not in the catalogue`);
  return definition;
};

const cell = (text: string): NativeArgument => ({ text, binding: binding.whole });
const computed = (text: string, tight: number = binding.whole): NativeArgument => ({
  text,
  binding: tight,
  computed: true,
});
const written = (value: number | string): NativeArgument => ({
  text: typeof value === "string" ? `"${value}"` : String(value),
  binding: binding.whole,
  literal: value,
});
const native = (id: string, ...given: readonly NativeArgument[]): string =>
  nativeForm(definitionOf(id), given).text;
const spilled = (id: string, at: SpillPlace, ...given: readonly NativeArgument[]): string =>
  nativeCell(definitionOf(id), given, at).text;

describe("a native formula reads as a person would write it", () => {
  test("plain products and quotients", () => {
    expect(native("SEED_WEIGHT", cell("A2"), cell("B2"))).toBe("A2*B2/1000");
    expect(native("FERTILISER_WEIGHT", cell("A2"), cell("B2"), written(0.24))).toBe("A2*B2/1000/0.24");
    expect(native("TOPDRESS_VOLUME", cell("A2"), cell("B2"))).toBe("A2*B2/12");
    expect(native("MARGIN_PRICE", cell("A2"), cell("B2"))).toBe("A2/(1-B2)");
    expect(native("SEASON_ROOM", cell("A2"), cell("B2:B5"), written(0.5))).toBe("A2-SUM(B2:B5,0.5)");
  });

  test("whole bags, an unfilled row costing nothing", () => {
    expect(native("TOPDRESS_BAGS", cell("A2"), cell("B2"), cell("C2"), cell("D2"))).toBe(
      "IF(A2=0,0,ROUNDUP(ROUND(A2*B2/12/(C2*(1-D2)),9),0))",
    );
  });

  test("a blank optional cell takes its default, a left-out one leaves no trace", () => {
    expect(native("SEED_WEIGHT", cell("A2"), cell("B2"), cell("C2"))).toBe("A2*B2/1000/IF(C2=0,1,C2)");
    expect(native("SEED_WEIGHT", cell("A2"), cell("B2"), leftOut)).toBe("A2*B2/1000");
    expect(native("WALK_LENGTH", cell("A2"), cell("B2"), cell("C2"))).toBe("IF(A2=0,0,A2/B2*IF(C2=0,1,C2))");
  });

  test("a sum that is written out keeps its brackets", () => {
    const sum: NativeArgument = { text: "A2+A3", binding: binding.sum };
    expect(native("SEED_WEIGHT", sum, cell("B2"))).toBe("(A2+A3)*B2/1000");
  });
});

describe("units", () => {
  test("written out are settled in the formula", () => {
    expect(native("TOPDRESS_VOLUME", cell("A2"), cell("B2"), written("metric"))).toBe("A2*B2");
    expect(native("LABEL_DOSE", cell("A2"), cell("B2"), written("Metric"))).toBe("A2*B2/10000");
  });

  test("in a cell are asked there, unless both systems agree", () => {
    expect(native("TOPDRESS_VOLUME", cell("A2"), cell("B2"), cell("C2"))).toBe('A2*B2/IF(C2="metric",1,12)');
    expect(native("SEED_WEIGHT", cell("A2"), cell("B2"), leftOut, cell("D2"))).toBe("A2*B2/1000");
  });
});

describe("what is worked out elsewhere is guarded in the formula", () => {
  test("by the limits that an input cell would have", () => {
    expect(native("LABEL_DOSE", cell("A2"), computed("B2"))).toBe("IF(A2=0,0,IF(B2>0,A2*B2/43560,NA()))");
    expect(native("PURE_LIVE_SEED", computed("A2"), cell("B2"))).toBe(
      "IF(AND(A2>0,A2<=1),IF(ROUND(B2-1,9)>0,NA(),A2*B2),NA())",
    );
  });

  test("but not by what its bounds already say", () => {
    const share: NativeArgument = { ...computed("A2*B2", binding.product), bounds: { least: 0, most: 1 } };
    expect(native("SEED_WEIGHT", cell("C2"), cell("D2"), share)).toBe("C2*D2/1000/IF(A2*B2=0,1,A2*B2)");
  });

  test("and a figure that is refused for good is #N/A for good", () => {
    expect(native("MARGIN_PRICE", cell("A2"), written(40))).toBe("NA()");
    expect(native("SEED_WEIGHT", cell("A2"), written(-7))).toBe("NA()");
    expect(native("SEED_RATE", written("bahiagrass"), written("new"))).toBe("NA()");
  });
});

describe("figures in order", () => {
  test("end in blanks, but a gap or too few of them is #N/A", () => {
    expect(native("RADIAL_AREA", cell("A2:A9"))).toBe(
      'IF(AND(MAX(A2:A9)=0,MIN(A2:A9)=0),0,IF(AND(SUMPRODUCT((A2:A8="")*(A3:A9<>""))=0,COUNT(A2:A9)>=3,INDEX(A2:A9,COUNT(A2:A9))<>0),' +
        "PI()*SUMPRODUCT(A2:A9*A2:A9)/COUNT(A2:A9),NA()))",
    );
  });

  test("lie in a row as well as in a column", () => {
    expect(native("RADIAL_AREA", cell("B1:F1"))).toContain('SUMPRODUCT((B1:E1="")*(C1:F1<>""))=0');
    expect(native("OFFSET_AREA", cell("B1:F1"), written(10), written("simpson"))).toContain(
      "COLUMN(B1:F1)-COLUMN(B1)",
    );
  });

  test("of which one lacks its second figure are #N/A", () => {
    const shown = (third: readonly number[]) => {
      const corners = [[10, 10], [20, 10], third, [10, 20]];
      const cells = corners.flatMap((pair, i) =>
        pair.map((content, j) => ({ sheet: "S", address: `${"AB"[j] ?? ""}${i + 1}`, content })),
      );
      const formula = `=${native("POLYGON_AREA", cell("A1:B4"))}`;
      return recalculateInIronCalc([...cells, { sheet: "S", address: "D1", content: formula }]).get(
        "S",
      )?.[0]?.[3];
    };
    // A square of 10 by 10.
    expect(shown([20, 20])).toBe(100);
    expect(shown([20])).toBe("#N/A");
  });

  test("of a shape that cannot hold them are #N/A", () => {
    expect(native("POLYGON_AREA", cell("A2:B3"))).toBe("IF(AND(MAX(A2:B3)=0,MIN(A2:B3)=0),0,NA())");
    expect(native("OFFSET_AREA", cell("A2:B9"), cell("C2"))).toBe(
      "IF(AND(MAX(A2:B9)=0,MIN(A2:B9)=0),0,NA())",
    );
  });
});

describe("a published rate", () => {
  test("of a grass that is written out is a number", () => {
    expect(native("SEED_RATE", written("Tall Fescue"), written("new"), written("high"))).toBe("8");
    expect(native("SEED_RATE", written("tall fescue"), written("overseed"), written("low"))).toBe("3");
  });

  test("of a grass in a cell is looked up", () => {
    const text = native("SEED_RATE", cell("A2"), written("new"), written("low"));
    // What a pattern is written with stands for itself: no grass has it in its name.
    expect(text).toMatch(
      /^INDEX\(\{1;1;4;2;6;3;.*\},MATCH\(SUBSTITUTE\(.*A2&"\|"&"new","~","#"\),"\*","#"\),"\?","#"\),\{"Kentucky bluegrass\|new",.*\},0\),1\)$/,
    );
    expect(text.length).toBeLessThan(8192);
  });
});

describe("a spill has a native form for each of its cells", () => {
  const at = (row: number, column: number, rows: number, columns: number): SpillPlace => ({
    row,
    column,
    rows,
    columns,
  });

  test("of a seed mix", () => {
    expect(spilled("SEED_MIX", at(1, 0, 2, 1), cell("A2"), cell("B2"), cell("C2:C3"), cell("D2:D3"))).toBe(
      "IF(A2=0,0,IF(ROUND(ABS(SUM(C2:C3)-1)-0.005,9)>0,NA(),A2*B2/1000*C3/IF(D3=0,1,D3)))",
    );
  });

  test("of a seed mix whose shares stand under a name: INDEX counts its rows from 1", () => {
    expect(
      spilled("SEED_MIX", at(1, 0, 2, 1), cell("A2"), cell("B2"), cell("Shares"), cell("Pure")),
    ).toContain("*INDEX(Shares,2,1)/IF(INDEX(Pure,2,1)=0,1,INDEX(Pure,2,1))");
  });

  test("of tank loads, which no longer holds when the number of loads changes", () => {
    const given = ["A2", "B2", "C2", "D2"].map(cell);
    const guarded = (figure: string) =>
      `IF(A2=0,0,IF(MAX(1,ROUNDUP(ROUND(A2*C2/43560/D2,9),0))=3,${figure},NA()))`;
    expect(spilled("TANK_LOADS", at(0, 0, 3, 4), ...given)).toBe(guarded("1"));
    expect(spilled("TANK_LOADS", at(1, 2, 3, 4), ...given)).toBe(guarded("D2"));
    expect(spilled("TANK_LOADS", at(2, 2, 3, 4), ...given)).toBe(guarded("A2*C2/43560-2*D2"));
  });

  test("of a function down its rows", () => {
    const given = [written("SEED_WEIGHT"), cell("Site!A2:A4"), written(7), cell("$D$1")];
    expect(spilled("EACH_ROW", at(1, 0, 3, 1), ...given)).toBe("Site!A3*7/1000/IF($D$1=0,1,$D$1)");
  });
});

test("a function without a native form says why", () => {
  for (const id of ["EDITION"]) {
    expect(() => native(id, cell("A2"))).toThrow(NoNativeForm);
    expect(() => native(id, cell("A2"))).toThrow(/^.{20,}\.$/);
  }
  expect(() => native("SEED_MIX", cell("A2"))).toThrow("spills over several cells");
});

import { describe, expect, it } from "vitest";
import { functionNamed } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import type { Behind, Form, Preview } from "../../src/pane/form-model";
import { formulaOf, numberIn, previewOf, readForm, referenceToItself } from "../../src/pane/form-model";

const named = (id: string): WorksheetFunction => {
  const definition = functionNamed(id);
  if (definition === undefined) throw new Error(`There is no ${id}.`);
  return definition;
};

const seed = named("SEED_WEIGHT");
const form = (texts: Record<string, string>, system: Form["system"] = "us"): Form => ({ texts, system });

function preview(
  definition: WorksheetFunction,
  texts: Record<string, string>,
  cells: Record<string, unknown[][]> = {},
  system: Form["system"] = "us",
): Preview {
  const behind = new Map<string, Behind>(
    Object.entries(cells).map(([reference, values]) => [reference, { values }]),
  );
  return previewOf(definition, readForm(definition, form(texts, system)), behind);
}

const answer = ({ outcome }: Preview): string =>
  outcome.kind === "answer" ? outcome.working.answer : outcome.kind;

const formula = (definition: WorksheetFunction, texts: Record<string, string>, system?: Form["system"]) =>
  formulaOf(definition, readForm(definition, form(texts, system)));

describe("numbers as an estimator writes them", () => {
  it.each([
    ["2500", 2500],
    ["2,500", 2500],
    ["1,234,567.5", 1234567.5],
    [".25", 0.25],
    ["-3", -3],
    ["1/4", 0.25],
    ["1 1/2", 1.5],
    ["2e3", 2000],
  ])("reads %s", (text, value) => {
    expect(numberIn(text)).toBe(value);
  });

  it.each(["", "seven", "7 lb", "0,25", "25,00", "1,2345", "1/0", "10-18-22", "B2", "85 %", "1.2.3"])(
    "takes %j for no number",
    (text) => {
      expect(numberIn(text)).toBeUndefined();
    },
  );

  it("reads per cent where a share belongs, and only there", () => {
    expect(numberIn("85 %", true)).toBe(0.85);
    expect(numberIn("8.5%", true)).toBe(0.085);
    expect(numberIn("x %", true)).toBeUndefined();
  });
});

describe("the formula of a form", () => {
  it("writes figures and references as they stand, and leaves out what was left blank at the end", () => {
    expect(formula(seed, { area: "Site!B2", rate: "7" })).toEqual({
      formula: "=SWARD.SEED_WEIGHT(Site!B2,7)",
    });
  });

  it("turns grouped figures, fractions and per cent into plain numbers", () => {
    expect(formula(seed, { area: "4,000", rate: "1 1/2", pure_live_seed: "85 %" })).toEqual({
      formula: "=SWARD.SEED_WEIGHT(4000,1.5,0.85)",
    });
  });

  it("keeps the place of a blank between two arguments, and names the metric system", () => {
    expect(formula(seed, { area: "400", rate: "35" }, "metric")).toEqual({
      formula: '=SWARD.SEED_WEIGHT(400,35,,"metric")',
    });
  });

  it("keeps a quoted sheet name whole, with its comma", () => {
    expect(formula(seed, { area: "'Front, back'!$B$2", rate: "=C2" })).toEqual({
      formula: "=SWARD.SEED_WEIGHT('Front, back'!$B$2,C2)",
    });
  });

  it("puts text in quotes, with quotes inside doubled, and knows a choice in any letter case", () => {
    expect(formula(named("GRADE"), { grade: "10-18-22", nutrient: "p2o5" })).toEqual({
      formula: '=SWARD.GRADE("10-18-22","P2O5")',
    });
    expect(formula(named("GRADE"), { grade: "Site!B4", nutrient: '"K"' })).toEqual({
      formula: '=SWARD.GRADE(Site!B4,"K")',
    });
  });

  it("writes several figures and ranges one after the other where any number may follow", () => {
    const room = named("SEASON_ROOM");
    expect(formula(room, { season_limit: "1.5", applied: "0.5; 'A; b'!B2:B4, C7" })).toEqual({
      formula: "=SWARD.SEASON_ROOM(1.5,0.5,'A; b'!B2:B4,C7)",
    });
    expect(formula(room, { season_limit: "2,000", applied: "1,500" })).toEqual({
      formula: "=SWARD.SEASON_ROOM(2000,1500)",
    });
  });

  it("asks for what is needed and names a figure that would be refused", () => {
    const written = formula(seed, { rate: "0", pure_live_seed: "95" });
    const troubles = "troubles" in written ? written.troubles : [];
    expect(troubles.map(({ id }) => id)).toEqual(["area", "rate", "pure_live_seed"]);
    expect(troubles[0]?.sentence).toBe("Area is needed: type a figure or a cell.");
    expect(troubles[2]?.sentence).toMatch(/^Pure live seed is 95: enter .*9500 %/);
  });

  it("does not let a number stand where cells belong", () => {
    const written = formula(named("SCREEN_LOSS"), { opened: "20", screened_out: "B2:B9" });
    expect("troubles" in written && written.troubles.map(({ id }) => id)).toEqual(["opened"]);
  });

  it("explains a decimal comma with the figure that was meant", () => {
    const written = formula(seed, { area: "0,25", rate: "7" });
    expect("troubles" in written && written.troubles[0]?.sentence).toContain("0.25");
  });
});

describe("the preview of a form", () => {
  it("says what is still needed before it has all, and no more than that", () => {
    const { outcome, troubles } = preview(seed, { area: "4000" });
    expect(outcome).toEqual({ kind: "waiting", needed: ["Rate"] });
    expect(troubles.size).toBe(0);
  });

  it("answers for typed figures with the unit of the chosen system", () => {
    // 4,000 ft² at 7 lb per 1000 ft² is 28 lb; 400 m² at 35 g per m² is 14 kg.
    expect(answer(preview(seed, { area: "4,000", rate: "7" }))).toBe("28 lb");
    expect(answer(preview(seed, { area: "400", rate: "35" }, {}, "metric"))).toBe("14 kg");
  });

  it("answers for values behind references, ranges included", () => {
    expect(answer(preview(seed, { area: "B2", rate: "7" }, { B2: [[1000]] }))).toBe("7 lb");
    const loss = preview(
      named("SCREEN_LOSS"),
      { opened: "B2:B3", screened_out: "C2:C3" },
      { "B2:B3": [[20], [30]], "C2:C3": [[4], [6]] },
    );
    expect(answer(loss)).toBe("20 %");
  });

  it("adds up all that is given where any number may follow", () => {
    const room = preview(
      named("SEASON_ROOM"),
      { season_limit: "2", applied: "0.5; B2:B3" },
      { "B2:B3": [[0.25], [0.25]] },
    );
    expect(answer(room)).toBe("1");
  });

  it("waits for cells that are not read yet", () => {
    expect(preview(seed, { area: "B2", rate: "7" }).outcome.kind).toBe("reading");
  });

  it("puts the refusal beside its own field, also while others are empty", () => {
    const { troubles } = preview(seed, { pure_live_seed: "95" });
    expect([...troubles.keys()]).toEqual(["pure_live_seed"]);
    const text = preview(seed, { area: "B1", rate: "7" }, { B1: [["front lawn"]] });
    expect(text.troubles.get("area")).toContain("front lawn");
  });

  it("puts a refusal that follows from two arguments beside the one it names", () => {
    const { troubles, outcome } = preview(named("PURE_LIVE_SEED"), {
      purity: "0.95",
      germination: "0.9",
      dormant: "0.2",
    });
    expect([...troubles.keys()]).toEqual(["dormant"]);
    expect(outcome.kind).toBe("refusal");
  });

  it("shows a sentence from the workbook beside the field whose reference it could not read", () => {
    const behind = new Map<string, Behind>([["Gone!B2", { trouble: "There is no sheet Gone." }]]);
    const readings = readForm(seed, form({ area: "Gone!B2", rate: "7" }));
    expect(previewOf(seed, readings, behind).troubles.get("area")).toBe("There is no sheet Gone.");
  });
});

describe("a cell that would read itself", () => {
  const readings = readForm(seed, form({ area: "Site!B2:B9", rate: "C4" }));

  it("is found inside a range and behind an address without a sheet", () => {
    expect(referenceToItself(readings, { sheet: "site", address: "B5" })).toBe("Site!B2:B9");
    expect(referenceToItself(readings, { sheet: "Bid", address: "C4" })).toBe("C4");
  });

  it("is not mistaken for a neighbour or a namesake on another sheet", () => {
    expect(referenceToItself(readings, { sheet: "Site", address: "B10" })).toBeUndefined();
    expect(referenceToItself(readings, { sheet: "Bid", address: "B5" })).toBeUndefined();
  });
});

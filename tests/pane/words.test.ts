import { describe, expect, it } from "vitest";
import { catalogue } from "../../src/engine/catalogue";
import type { NumberParameter } from "../../src/engine/parameters";
import { hintOf, inPlainWords, labelOf, placeholderOf, shownValue } from "../../src/pane/words";

const share: NumberParameter = {
  takes: "number",
  id: "pure_live_seed",
  kind: "share",
  about: "share of the lot that is pure live seed",
  blank: "default",
  default: 1,
  above: 0,
  most: 1,
};
const area: NumberParameter = {
  takes: "number",
  id: "area",
  kind: "area",
  about: "area to seed",
  blank: "nothing to cover",
  least: 0,
};

describe("words of a form", () => {
  it("calls a field by its id in words, or by its description where the id says little", () => {
    expect(labelOf(share)).toBe("Pure live seed");
    expect(labelOf({ ...area, id: "t_min", about: "lowest temperature of the day" })).toBe(
      "Lowest temperature of the day",
    );
  });

  it("gives no two fields of a form the same label", () => {
    for (const { parameters } of catalogue) {
      expect(new Set(parameters.map(labelOf)).size).toBe(parameters.length);
    }
  });

  it("tells what belongs in a field and what a blank stands for", () => {
    expect(hintOf(area)).toBe("Area to seed; 0 or more.");
    expect(hintOf(share)).toContain("85 %");
    expect(placeholderOf(share)).toBe("1 if left blank");
    expect(placeholderOf(area)).toBe("");
  });

  it("does not say the label twice", () => {
    expect(hintOf({ ...area, about: "area" })).toBe("0 or more.");
  });

  it("takes the underscores out of a refusal, and leaves longer names alone", () => {
    expect(inPlainWords("pure_live_seed is 2: enter it.", [share])).toBe("Pure live seed is 2: enter it.");
    expect(inPlainWords("area_code is odd", [area])).toBe("Area_code is odd");
  });
});

describe("what a cell holds, in a few words", () => {
  it("shows figures with their unit and blanks as blank", () => {
    expect(shownValue(2500, area, "us")).toBe("2,500 ft²");
    expect(shownValue([[2500]], area, "metric")).toBe("2,500 m²");
    expect(shownValue(0.85, share, "us")).toBe("85 %");
    expect(shownValue("", area, "us")).toBe("blank");
    expect(shownValue([[null]], area, "us")).toBe("blank");
  });

  it("counts the cells of a range, and says how many are filled where some are not", () => {
    expect(shownValue([[1], [2]], area, "us")).toBe("2 cells");
    expect(shownValue([[1], [""], [3]], area, "us")).toBe("3 cells, 2 filled");
  });

  it("shortens a figure with many decimals", () => {
    expect(shownValue(100 / 3, area, "us")).toBe("33.333333 ft²");
  });
});

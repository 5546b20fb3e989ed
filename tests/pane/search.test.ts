import { describe, expect, it } from "vitest";
import { catalogue } from "../../src/engine/catalogue";
import { groupsFor } from "../../src/pane/search";

const found = (query: string): readonly string[] =>
  groupsFor(query).flatMap(({ functions }) => functions.map(({ id }) => id));

describe("finding a function", () => {
  it("shows every function once, in the order of the job, when nothing is asked", () => {
    expect([...found("")].sort()).toEqual(catalogue.map(({ id }) => id).sort());
    const headings = groupsFor("  ").map(({ heading }) => heading);
    expect(headings.indexOf("Measuring the site")).toBeLessThan(headings.indexOf("Seed"));
    expect(headings.indexOf("Seed")).toBeLessThan(headings.indexOf("Price"));
  });

  it("looks at names, with or without the underscore and the namespace", () => {
    expect(found("seed_weight")).toEqual(["SEED_WEIGHT"]);
    expect(found("Seed Weight")).toContain("SEED_WEIGHT");
    expect(found("sward.packs")).toEqual(["PACKS"]);
  });

  it("looks at the words of parameters", () => {
    expect(found("germination tag")).toContain("PURE_LIVE_SEED");
  });

  it("wants every word", () => {
    expect(found("seed tractor")).toEqual([]);
  });

  it("finds fertiliser in either spelling", () => {
    expect(found("fertilizer")).toEqual(found("fertiliser"));
    expect(found("fertilizer")).toContain("FERTILISER_WEIGHT");
  });

  it.each([
    ["PLS", "PURE_LIVE_SEED"],
    ["gpa", "SPRAY_VOLUME"],
    ["npk", "GRADE"],
    ["ETo", "REFERENCE_ET"],
    ["DU audit", "CATCH_UNIFORMITY"],
    ["square feet", "POLYGON_AREA"],
    ["gross margin", "MARGIN_PRICE"],
    ["cubic yards", "TOPDRESS_VOLUME"],
    ["spreader calibration", "DELIVERED_RATE"],
    ["labor", "WORK_HOURS"],
  ])("finds %s, as the trade calls it", (words, id) => {
    expect(found(words)).toContain(id);
  });

  it("leaves out headings under which nothing was found", () => {
    expect(groupsFor("germination").every(({ functions }) => functions.length > 0)).toBe(true);
  });
});

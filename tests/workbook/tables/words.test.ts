import { describe, expect, test } from "vitest";
import { fraction, toNumber } from "../../../src/engine/units";
import { dimensionsOf, isText, meaningNamed, meanings } from "../../../src/workbook/tables/concepts";
import {
  argumentsOf,
  columnFor,
  conceptFor,
  conceptNamedAs,
  isTaken,
  rowFunctions,
} from "../../../src/workbook/tables/feeds";
import type { Candidate } from "../../../src/workbook/tables/headings";
import { asTaken, candidatesFor, readHeading } from "../../../src/workbook/tables/headings";
import { spelledDenominators, spelledUnits } from "../../../src/workbook/tables/spelled-units";
import { conversionBetween, unitSpelled, unitsOf } from "../../../src/workbook/tables/units";

/** What functions take a heading for. */
const takenFrom = (text: string): readonly Candidate[] => {
  const heading = readHeading(text);
  return candidatesFor(heading).flatMap((candidate) => asTaken(candidate, heading.unit) ?? []);
};

/** Sizes in metres, kilograms and seconds. NIST SP 811, appendix B.8, and NIST Handbook 44, appendix C. */
const sizes: Readonly<Record<string, number>> = {
  "ft²": 0.3048 ** 2,
  "1000 ft²": 1000 * 0.3048 ** 2,
  acres: 4046.8564224,
  acre: 4046.8564224,
  "m²": 1,
  ha: 10_000,
  ft: 0.3048,
  in: 0.0254,
  m: 1,
  cm: 0.01,
  mm: 0.001,
  miles: 1609.344,
  km: 1000,
  lb: 0.45359237,
  kg: 1,
  g: 0.001,
  "fl oz": 2.95735295625e-5,
  mL: 1e-6,
  "US gal": 3.785411784e-3,
  L: 1e-3,
  "ft³": 0.3048 ** 3,
  "m³": 1,
  min: 60,
  h: 3600,
  seeds: 1,
  "%": 0.01,
  money: 1,
};

describe("every spelling of a unit", () => {
  test.each(spelledUnits.flatMap((unit) => unit.spellings.map((spelling) => [spelling, unit] as const)))(
    "%s",
    (spelling, { name, dimension, size }) => {
      expect(unitSpelled(spelling)).toMatchObject({ name, dimension });
      expect(readHeading(`Figure (${spelling})`).unit?.name).toBe(name);
      if (size !== null) expect(toNumber(size) / (sizes[name] ?? Number.NaN)).toBeCloseTo(1, 12);
    },
  );

  test.each(
    spelledDenominators.flatMap((unit) => unit.spellings.map((spelling) => [spelling, unit] as const)),
  )("lb/%s", (spelling, { name }) => {
    const unit = unitSpelled(`lb/${spelling}`);
    expect(unit).toMatchObject({ name: `lb per ${name}`, dimension: "weight per area", system: "us" });
    expect(toNumber(unit?.size ?? fraction(1))).toBeCloseTo(0.45359237 / (sizes[name] ?? 0), 12);
  });

  test("no spelling stands for two units", () => {
    const spellings = spelledUnits.flatMap((unit) => unit.spellings);
    expect(new Set(spellings).size).toBe(spellings.length);
  });

  test.each([
    ["lb per 1,000 sq. ft.", "lb per 1000 ft²"],
    ["lbs / 1000 ft²", "lb per 1000 ft²"],
    ["g/m²", "g per m²"],
    ["kg/ha", "kg per ha"],
    ["fl oz/ac", "fl oz per acre"],
    ["GPA", "US gal per acre"],
    ["L per ha", "L per ha"],
    ["sq ft/hr", "ft² per h"],
    ["seeds/lb", "seeds per lb"],
  ])("%s is %s", (spelling, name) => expect(unitSpelled(spelling)?.name).toBe(name));

  test.each(["furlong", "lb/", "", "per ha"])("%s is no unit", (text) =>
    expect(unitSpelled(text)).toBeUndefined(),
  );

  test("every unit that may be chosen has a size", () => {
    for (const meaning of meanings)
      for (const unit of dimensionsOf(meaning).flatMap(unitsOf)) expect(unit.size).not.toBeNull();
    expect(unitsOf("weight per area").map(({ name }) => name)).toContain("lb per 1000 ft²");
  });

  test("a conversion is written the short way", () => {
    const size = (spelling: string) => unitSpelled(spelling)?.size ?? fraction(1);
    expect(conversionBetween(size("acres"), size("sq ft")).text).toBe("*43560");
    expect(conversionBetween(size("in"), size("ft")).text).toBe("/12");
    // NIST SP 811: a square foot is 0.09290304 m2 exactly.
    expect(conversionBetween(size("m2"), size("ft2")).text).toBe("/0.09290304");
    expect(conversionBetween(size("ft2"), size("sf")).text).toBe("");
  });
});

describe("every trade word", () => {
  test.each(meanings.flatMap((meaning) => meaning.words.map((word) => [word, meaning] as const)))(
    "%s",
    (word, meaning) => {
      const named = candidatesFor(readHeading(word));
      expect(named.map((one) => one.meaning.id)).toContain(meaning.id);
    },
  );

  test("every argument of a function that works row by row has words, measured as it is", () => {
    const wordless = rowFunctions.flatMap((definition) =>
      argumentsOf(definition).flatMap((parameter) => {
        const meaning = meaningNamed(conceptFor(definition, parameter) ?? "");
        const fits =
          meaning !== undefined &&
          meaning.words.length > 0 &&
          meaning.kinds.includes(parameter.kind) &&
          isText(meaning) === (parameter.takes === "text");
        return fits ? [] : [`${definition.id} ${parameter.id}, in ${parameter.kind}`];
      }),
    );
    expect(wordless, "parameters without words: see feeds.ts and concepts.ts").toEqual([]);
  });

  test("what is said of an argument is of one that is there, and not what its name says", () => {
    for (const [id, words] of Object.entries(columnFor))
      for (const [name, concept] of Object.entries(words)) {
        const definition = rowFunctions.find((one) => one.id === id);
        const parameter = definition && argumentsOf(definition).find((one) => one.id === name);
        if (parameter === undefined) expect.fail(`${id} takes no ${name} from a row`);
        expect(conceptNamedAs(parameter), `${id} ${name}`).not.toBe(concept);
      }
  });

  test("what functions take is measured in nothing that none of them takes", () => {
    const kinds = new Map(meanings.map(({ id }) => [id, new Set<string>()]));
    for (const definition of rowFunctions)
      for (const parameter of argumentsOf(definition)) {
        const concept = conceptFor(definition, parameter);
        if (concept !== undefined) kinds.get(concept)?.add(parameter.kind);
      }
    for (const meaning of meanings.filter(isTaken))
      expect([...(kinds.get(meaning.id) ?? [])].sort(), meaning.id).toEqual([...meaning.kinds].sort());
  });

  test("what stands for another is one that functions take, and no word is said twice of a thing", () => {
    for (const { id, isA, mayBe, words } of meanings) {
      for (const other of [isA ?? [], mayBe ?? []].flat()) {
        const meaning = meaningNamed(other);
        expect(meaning !== undefined && isTaken(meaning), `${id}, ${other}`).toBe(true);
      }
      expect(new Set(words).size, id).toBe(words.length);
    }
  });
});

describe("headings", () => {
  test.each([
    ["Area (sq ft)", "area", "ft²"],
    ["Area sqft", "area", "ft²"],
    ["AREA, ft²", "area", "ft²"],
    ["Area in acres", "area", "acres"],
    ["Fläche m2", "area", "m²"],
    ["Lawn area [m²]", "area", "m²"],
    ["sq ft", "area", "ft²"],
    ["Front by the gate, sq ft", "area", "ft²"],
    ["Fungicide fl oz/ac", "labelRate", "fl oz per acre"],
    ["Perimeter (ft)", "edge", "ft"],
    ["Edge width (in)", "stripWidth", "in"],
    ["lb/M", "seedRate", "lb per 1000 ft²"],
    ["Rate lb/1000", "seedRate", "lb per 1000 ft²"],
    ["Seed rate (g/m²)", "seedRate", "g per m²"],
    ["Label rate (fl oz/ac)", "labelRate", "fl oz per acre"],
    ["Depth (in)", "layer", "in"],
    ["mm", "layer", "mm"],
    ["Water depth in mm", "waterDepth", "mm"],
    ["bag cu ft", "bagVolume", "ft³"],
    ["Bag (lb)", "bagWeight", "lb"],
    ["loss %", "screenLoss", "%"],
    ["N %", "nutrientShare", "%"],
    ["N rate lb/1000 sq ft", "nutrientRate", "lb per 1000 ft²"],
    ["Purity (%)", "purity", "%"],
    ["Germination %", "germination", "%"],
    ["PLS", "pureLiveSeed", undefined],
    ["Pace (sq ft/hr)", "pace", "ft² per h"],
    ["Cost ($)", "cost", "money"],
    ["Margin", "margin", undefined],
    ["Bags", "bags", undefined],
    ["Bulk seed to buy (lb)", "need", "lb"],
  ])("%s is the %s in %s", (text, meaning, unit) => {
    const heading = readHeading(text);
    expect(heading.unit?.name).toBe(unit);
    expect(takenFrom(text)[0]?.meaning.id).toBe(meaning);
  });

  test.each([
    "Notes",
    "Lot size (sq ft)",
    "Price per bag",
    "Area (lb)",
    "Zone",
    "Bag colour",
    "House sq ft",
    "Rate g/M",
  ])("%s is not guessed at", (text) => expect(takenFrom(text)).toEqual([]));

  test("a word in brackets that is no unit is kept as one that was not read", () => {
    expect(readHeading("Area (rods)")).toMatchObject({ words: ["area"], unread: "rods" });
  });
});

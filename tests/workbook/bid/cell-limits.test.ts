import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { UnitSystem } from "../../../src/engine/units";
import { planBid } from "../../../src/workbook/bid/plan-bid";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { recalculateFormulas } from "../../support/libreoffice";
import { letters } from "./reading";

/**
 * What a person finds who reads the sheets: each heading or label with boxed cells to fill in, the unit that stands
 * with it, and the sort of thing that belongs there.
 */
type Sort =
  | "amount"
  | "divisor"
  | "whole"
  | "figure"
  | "lost"
  | "whole share"
  | "given share"
  | "margin"
  | "day"
  | "list";
type Read = readonly [name: string, sort: Sort, us?: string, metric?: string];

const site: readonly Read[] = [
  ["Purpose", "list"],
  ["Grass", "list"],
  ["How measured", "list"],
  ["Length, base or diameter", "amount", "ft", "m"],
  ["Width or height", "amount", "ft", "m"],
  ["Strip width", "divisor", "in", "cm"],
  ["Inside corners", "whole"],
  ["Typed area", "amount", "ft²", "m²"],
  ["Left out: beds, paving", "amount", "ft²", "m²"],
  ["Edge to walk, if typed", "amount", "ft", "m"],
  ["Measured to ±", "lost"],
  ["Seeding rate, if typed", "amount", "lb per 1000 ft²", "g per m²"],
  ["Sprinkler rate", "amount", "in per h", "mm per h"],
  ["Sprinkler evenness", "whole share"],
];
const outlines: readonly Read[] = [
  ["Method", "list"],
  ["Distance between offsets", "divisor", "ft", "m"],
  ["Counts as", "list"],
  ["Points in order round the outline", "figure"],
];
const packs = (us: string, metric: string): readonly Read[] => [
  ["In stock", "amount", us, metric],
  ...[1, 2, 3].map((n) => [`Pack ${n}`, "amount", us, metric] as const),
  ...[1, 2, 3].map((n) => [`Price of pack ${n}`, "amount"] as const),
];
const materials: Readonly<Record<string, readonly Read[]>> = {
  "Seed lots": [
    ["Grass", "list"],
    ["Tested on", "day"],
    ["Pure seed", "whole share"],
    ["Germination", "given share"],
    ["Hard or dormant", "lost"],
    ["Seeds", "amount", "per lb", "per kg"],
    ...packs("lb", "kg"),
  ],
  starter: [["Share of active", "whole share"], ...packs("lb", "kg")],
  "Pre-emergents": [
    ["Lowest rate", "amount", "fl oz per acre", "mL per ha"],
    ["Highest rate", "amount", "fl oz per acre", "mL per ha"],
    ["Concentration", "amount", "lb active per US gal", "g active per L"],
    ["Season limit", "amount", "lb active per acre", "g active per ha"],
    ["Least spray volume", "amount", "US gal per acre", "L per ha"],
    ["Days before a repeat", "whole"],
    ...packs("fl oz", "mL"),
  ],
  Topdressings: [
    ["Swell: loose per bag volume", "amount"],
    ["Screen loss, from past jobs", "lost"],
    ...packs("ft³", "L"),
  ],
  "Soil conditioners": [
    ["Rate", "amount", "lb per 1000 ft²", "g per m²"],
    ["Days before a repeat", "whole"],
    ...packs("lb", "kg"),
  ],
};
const quantities: readonly Read[] = [
  ["Reckon and buy for", "list"],
  ["Seed lot", "list"],
  ["starter", "list"],
  ["Phosphate rate wanted", "amount", "lb per 1000 ft²", "g per m²"],
  ["Pre-emergent", "list"],
  ["Label rate used", "amount", "fl oz per acre", "mL per ha"],
  ["Spray volume of the sprayer", "amount", "US gal per acre", "L per ha"],
  ["Tank", "amount", "US gal", "L"],
  ["Applied already this season", "amount", "lb active per acre", "g active per ha"],
  ["Topdressing", "list"],
  ["Depth", "amount", "in", "mm"],
  ["Soil conditioner", "list"],
  ["Drop spreader, width", "amount", "in", "cm"],
  ["Broadcast spreader, swath", "amount", "ft", "m"],
  ["Hopper holds", "amount", "lb", "kg"],
  ["Walking pace", "amount", "ft per min", "m per min"],
];
const terms: readonly Read[] = [
  ["Crew", "amount", "people", "people"],
  ["Labor, cost of a person-hour", "amount"],
  ["Overhead on cost", "whole share"],
  ["Margin, as a share of the price", "margin"],
  ["Sales tax", "lost"],
  ["Deposit, as a share of the price with tax", "whole share"],
  ["The bid holds for", "whole", "days", "days"],
  ["Date of the bid", "day"],
  ["Seeding day", "day"],
  ["The client sees prices", "list"],
];
const steps: readonly Read[] = [
  ["Pace", "amount", "ft² per person-hour", "m² per person-hour"],
  ["Further hours", "amount"],
  ["Equipment", "amount"],
];
const ways: readonly Read[] = [
  ["Seeding", "list"],
  ["Prepare the ground", "amount"],
  ["Seed", "amount"],
  ["starter", "amount"],
  ["Pre-emergent", "amount"],
  ["Topdressing", "amount"],
  ["Soil conditioner", "amount"],
  ["Clean up and set up the water", "amount"],
];
const watering: readonly Read[] = [
  ["First seedlings", "whole", "days", "days"],
  ["Last", "whole", "days", "days"],
  ["Mowing height", "amount", "in", "mm"],
  ["One light watering", "amount", "in", "mm"],
  ["Light waterings a day", "whole"],
  ["One deep watering, later on", "amount", "in", "mm"],
  ["Next feeding after seeding", "whole", "days", "days"],
  ["From last seedlings to first mowing", "whole", "days", "days"],
];

/** What is typed, as numbers or text; each sort takes some of it and refuses the rest. */
const typed = [
  "text",
  "12 ft",
  -1,
  -0.01,
  0,
  0.0008,
  0.35,
  0.999,
  1,
  1.5,
  2,
  7,
  180,
  46_273, // 8 September 2026
  200_000,
] as const;
const is =
  (...wanted: readonly number[]) =>
  (value: number): boolean =>
    wanted.includes(value);
const taken: Readonly<Record<Exclude<Sort, "list">, (value: number) => boolean>> = {
  amount: (value) => value >= 0,
  divisor: (value) => value > 0,
  whole: is(0, 1, 2, 7, 180, 46_273, 200_000),
  figure: () => true,
  lost: is(0, 0.0008, 0.35, 0.999),
  "whole share": is(0, 0.0008, 0.35, 0.999, 1),
  "given share": is(0.0008, 0.35, 0.999, 1),
  margin: is(0, 0.0008, 0.35, 0.999),
  day: is(46_273),
};

interface Limited {
  readonly sheet: string;
  readonly address: string;
  readonly title: string;
  readonly message: string;
  readonly style: string;
  readonly rule: Excel.DataValidationRule;
  readonly ignoreBlanks: boolean;
  /** The headings above, and the labels to the left, from near to far. */
  readonly headings: readonly string[];
}

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

/** Every input cell that holds no plain text, with what it says and what stands around it. */
async function readLimits(system: UnitSystem): Promise<readonly Limited[]> {
  bench.reset();
  const property = "Fenwick Cottage, 3 Mill Row";
  await writeBid({ system, currency: "$", property, sample: true }, unwatched);
  const plan = planBid({ system, property, job: undefined });
  const inputs = Object.values(plan).flatMap(({ name, cells }) =>
    cells
      .filter(({ role, entry, form }) => role === "input" && (form !== "text" || entry !== undefined))
      .map(({ row, column }) => ({ sheet: name, row, column })),
  );
  return Excel.run(async (context) => {
    const read = inputs.map(({ sheet, row, column }) => {
      const range = context.workbook.worksheets.getItem(sheet).getCell(row - 1, column - 1);
      range.dataValidation.load("errorAlert,rule,ignoreBlanks");
      return { sheet, row, column, dataValidation: range.dataValidation };
    });
    await context.sync();
    const text = (sheet: string, row: number, column: number) =>
      bench.text(sheet, `${letters(column)}${row}`).trim();
    return read.map(({ sheet, row, column, dataValidation }) => ({
      sheet,
      address: `${letters(column)}${row}`,
      title: dataValidation.errorAlert.title ?? "",
      message: dataValidation.errorAlert.message ?? "",
      style: String(dataValidation.errorAlert.style),
      rule: dataValidation.rule,
      ignoreBlanks: dataValidation.ignoreBlanks,
      headings: [
        // The figures for the estimator of Watering stand beside a page of its own.
        ...Array.from({ length: column - (sheet === "Watering" ? 9 : 1) }, (_, i) =>
          text(sheet, row, column - 1 - i),
        ),
        ...Array.from({ length: row - 1 }, (_, i) => text(sheet, row - 1 - i, column)),
        ...Array.from({ length: row - 1 }, (_, i) => text(sheet, row - 1 - i, 1)),
      ].filter((heading) => heading !== ""),
    }));
  });
}

/** The list of a sheet or of a part of it. */
function listFor({ sheet, address, headings }: Limited): readonly Read[] {
  if (sheet === "Site") return site;
  if (sheet === "Outlines") return outlines;
  if (sheet === "Quantities") return quantities;
  if (sheet === "Watering") return watering;
  if (sheet === "Materials") {
    const part = headings.find((heading) => heading in materials || /^Starter/.test(heading)) ?? "";
    return materials[part] ?? materials.starter ?? [];
  }
  if (sheet === "Order") {
    if (headings.some((heading) => heading.startsWith("Other ways"))) return ways;
    if (headings.some((heading) => heading.startsWith("Cost and price"))) return steps;
    return terms;
  }
  throw new Error(`Nothing is listed for ${sheet}!${address}`);
}

/** The unit stands in the second column of the row, beside the name. */
const reviewUnit = ({ sheet, address }: Limited): string =>
  bench.text(sheet, `B${address.replace(/[A-Z]+/, "")}`).trim();

/** Reviews are read apart, since their units stand in the row. */
const review = (cell: Limited): Read => {
  const head = cell.headings.find((heading) =>
    ["Brought back", "Opened", "Screened out", "Crew hours taken"].includes(heading),
  );
  const unit = head === "Crew hours taken" ? "" : reviewUnit(cell);
  return [head ?? "", "amount", unit, unit];
};

const isNamed = (heading: string, [name, , ...units]: Read): boolean =>
  (name === "starter" ? /^Starter fertili[sz]er$/.test(heading) : heading === name) ||
  units.some((unit) => heading === `${name}, ${unit}` || heading === `${name} ${unit}`);

/** The nearest heading or label that the list knows. */
function readingOf(cell: Limited): Read {
  if (cell.sheet === "Review") return review(cell);
  const list = listFor(cell);
  for (const heading of cell.headings) {
    const found = list.find((one) => isNamed(heading, one));
    if (found !== undefined) return found;
  }
  throw new Error(`No heading is known over ${cell.sheet}!${cell.address}: ${cell.headings.join(" | ")}`);
}

const spelled = (name: string): RegExp =>
  name === "starter"
    ? /^Starter fertili[sz]er/
    : new RegExp(`^${name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")}`);

describe.each(["us", "metric"] as const)("what the cells of a %s bid say", (system) => {
  let cells: readonly Limited[];
  beforeAll(async () => {
    cells = await readLimits(system);
  });

  test("every cell has a limit that names the cell's own heading or label and its unit", () => {
    expect(cells.length).toBeGreaterThan(600);
    for (const cell of cells) {
      const [name, sort, us = "", metric = ""] = readingOf(cell);
      const place = `${cell.sheet}!${cell.address}: ${cell.message}`;
      expect(cell.message, place).toMatch(spelled(name));
      expect(cell.message, place).toContain(system === "us" ? us : metric);
      expect(sort === "list", place).toBe("list" in cell.rule && cell.rule.list !== undefined);
    }
  });

  test("every message is short enough to be shown and ends as a sentence does; so does its title", () => {
    for (const { sheet, address, title, message, style, ignoreBlanks } of cells) {
      const place = `${sheet}!${address}: ${title} / ${message}`;
      expect(message.length, place).toBeLessThanOrEqual(225);
      expect(message, place).toMatch(/[a-z)"%\d]\.$/);
      expect(title.length, place).toBeGreaterThan(2);
      expect(title.length, place).toBeLessThanOrEqual(32);
      expect(message.startsWith(title), place).toBe(true);
      expect(style).toBe("Stop");
      expect(ignoreBlanks).toBe(true);
    }
  });

  test("no message speaks of what another cell holds", () => {
    const foreign = [
      /screen rejects/,
      /edge walked/,
      /amount needed/i,
      /if left out/,
      /people at work/,
      /What belongs in this cell/,
    ];
    for (const cell of cells) for (const words of foreign) expect(cell.message).not.toMatch(words);
    const said = new Map<string, string>();
    for (const cell of cells) {
      const [name] = readingOf(cell);
      const opening = cell.message.split(" – ")[0] ?? "";
      const known = said.get(opening);
      if (known !== undefined) expect(name).toBe(known);
      said.set(opening, name);
    }
  });

  test("no rate, limit or strength of a pesticide is suggested: those are the label's to give", () => {
    const ofLabels =
      /^(Lowest rate|Highest rate|Concentration|Season limit|Least spray volume|Share of active|Label rate used|Applied already)/;
    const told = cells.filter(({ message }) => ofLabels.test(message));
    expect(told.length).toBeGreaterThan(20);
    for (const { message } of told) {
      const figures = message.match(/\d+(?:\.\d+)?%?/g) ?? [];
      expect(
        figures.filter((figure) => !["0", "0%", "100%"].includes(figure)),
        message,
      ).toEqual([]);
    }
  });

  test("a second program takes what belongs there and refuses the rest", async () => {
    const asked = new Map<string, { readonly sort: Exclude<Sort, "list">; readonly place: string }>();
    for (const cell of cells) {
      const [, sort] = readingOf(cell);
      if (sort === "list") continue;
      const formula = cell.rule.custom?.formula;
      expect(formula, `${cell.sheet}!${cell.address}`).toBeDefined();
      // Only the first cell of a stretch is named in its rule.
      const first = /ISNUMBER\(([A-Z]+\d+)\)/.exec(formula ?? "")?.[1] ?? "";
      asked.set(`${sort} ${(formula ?? "").replaceAll(first, "A1")}`, {
        sort,
        place: `${cell.sheet}!${cell.address}`,
      });
    }
    const questions = [...asked].flatMap(([key, { sort, place }]) =>
      typed.map((value) => ({ formula: key.slice(sort.length + 1), sort, place, value })),
    );
    const values = await recalculateFormulas(
      questions.flatMap(({ formula, value }, i) => [
        { sheet: "Asked", address: `A${i + 1}`, content: value },
        { sheet: "Asked", address: `B${i + 1}`, content: formula.replaceAll("A1", `A${i + 1}`) },
      ]),
    );
    questions.forEach(({ sort, place, value }, i) => {
      const expected = typeof value === "number" && taken[sort](value);
      expect(values.get("Asked")?.[i]?.[1], `${place} (${sort}) takes ${value}`).toBe(expected);
    });
    expect(questions.length).toBeGreaterThan(120);
  });

  test("the host takes and refuses the same", async () => {
    const one = cells.filter((cell, i) => cells.findIndex((other) => other.message === cell.message) === i);
    await Excel.run(async (context) => {
      for (const cell of one) {
        const [, sort] = readingOf(cell);
        const range = context.workbook.worksheets.getItem(cell.sheet).getRange(cell.address);
        for (const value of sort === "list" ? ["nothing of the list", ""] : [-1, 0.35, 1, 7, ""]) {
          range.values = [[value]];
          range.dataValidation.load("valid");
          await context.sync();
          const expected =
            value === "" || (typeof value === "number" && sort !== "list" && taken[sort](value));
          expect(range.dataValidation.valid, `${cell.sheet}!${cell.address} takes ${value}`).toBe(expected);
        }
      }
    });
  });
});

test("no list of choices is too long for the host, nor holds what would part it", () => {
  for (const system of ["us", "metric"] as const) {
    for (const { cells } of Object.values(planBid({ system, property: "", job: undefined }))) {
      for (const { entry } of cells) {
        if (entry?.takes !== "choice") continue;
        expect(entry.choices.join(",").length).toBeLessThanOrEqual(255);
        for (const choice of entry.choices) expect(choice).not.toContain(",");
      }
    }
  }
});

import { formula } from "../formula";
import { publishedInUs } from "../units";
import { bounds, knownGrasses, purposes, seedRateSources, seedRateTable } from "./seed-rates";

/** The rates are of pure live seed. The table, its sources and what is only from memory are in seed-rates.ts. */
export const seedRate = formula({
  id: "SEED_RATE",
  step: "seed",
  sentence: "Published seeding rate of a grass, in lb per 1000 ft² (metric: g per m²).",
  equation: "low end, middle or high end of the published span",
  result: { name: "seeding rate", kind: "spreadRate" },
  parameters: [
    {
      takes: "text",
      id: "grass",
      kind: "text",
      about: "grass or mixture",
      blank: "refused",
      enter: 'such as "tall fescue"',
      choices: knownGrasses,
      tabulated: true,
    },
    {
      takes: "text",
      id: "purpose",
      kind: "text",
      about: "kind of seeding",
      blank: "refused",
      choices: purposes,
    },
    {
      takes: "text",
      id: "bound",
      kind: "text",
      about: "end of the published span",
      blank: "default",
      default: "mid",
      choices: bounds,
    },
  ],
  conversions: { rate: publishedInUs("spreadRate") },
  sources: seedRateSources,
  example: {
    given: ["tall fescue", "new"],
    gives: 7,
    story: "tall fescue on bare soil, the middle of 6 to 8",
  },
  body: (m, unit, grass, purpose, bound) =>
    m.scale(m.lookUp(seedRateTable, [grass, purpose], bound), unit.rate),
});

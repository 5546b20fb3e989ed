import { formula } from "../formula";
import { size } from "../parameters";
import { labelArithmetic } from "./sources";

export const seasonRoom = formula({
  id: "SEASON_ROOM",
  step: "preemergent",
  sentence:
    "What the label's season limit leaves after all applications, in the unit of the limit; below 0 where overspent.",
  equation: "season limit − sum of all applications",
  result: { name: "room left this season", kind: "any", mayBeNegative: true },
  parameters: [
    size("season_limit", "any", "season limit of the active on your label"),
    {
      takes: "repeating",
      id: "applied",
      kind: "any",
      about: "active already given or planned this season, granule and spray alike, as numbers or ranges",
      blank: "default",
      least: 0,
    },
  ],
  caution: "pesticide",
  sources: [labelArithmetic],
  example: {
    given: [1.5, 0.5, 0.75],
    gives: 0.25,
    story: "a limit of 1.5 lb per acre after 0.5 on the starter and 0.75 sprayed",
  },
  body: (m, _unit, limit, applied) => m.sub(limit, m.step("given this season", "any", m.sum(applied))),
});

/** Figures of bids as the drawings read them, made up for tests of the drawings alone. */
import type { NotYet } from "../../../src/workbook/drawings/drawing";
import type { BidFigures, OutlineFigures, ZoneFigures } from "../../../src/workbook/drawings/read-bid";
import { isMissing } from "../../../src/workbook/drawings/read-bid";

export const zone = (
  name: string,
  measured: string,
  area: number,
  more: Partial<ZoneFigures> = {},
): ZoneFigures => ({
  name,
  measured,
  area,
  length: 0,
  width: 0,
  stripWidth: 0,
  insideCorners: 0,
  leftOut: 0,
  ...more,
});

export const outline = (
  zoneName: string,
  method: string,
  points: OutlineFigures["points"],
  more: Partial<OutlineFigures> = {},
): OutlineFigures => ({ zone: zoneName, method, interval: 0, isLeftOut: false, points, ...more });

export const bidOf = (more: Partial<BidFigures> = {}): BidFigures => ({
  name: "Site",
  sheets: {},
  property: "Alder Court",
  system: "us",
  currency: "$",
  site: { zones: [], outlines: [], dropWidth: 22, swath: 5 },
  money: { steps: [], cost: 0, withOverhead: 0, price: 0, withTax: 0 },
  bags: { material: "", area: 0, depth: 0, screenLoss: 0, swell: 1, packs: [], inStock: 0 },
  time: {
    seedingDay: 0,
    crew: 1,
    steps: [],
    later: [],
    sprayRepeat: 0,
    conditionerRepeat: 0,
    reEntry: "",
  },
  ...more,
});

/** The figures of a drawing, where nothing of the sheets is missing. */
export function held<T extends object>(figures: T | NotYet): T {
  if (isMissing(figures)) throw new Error(figures.missing);
  return figures;
}

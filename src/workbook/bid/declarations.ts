/** Every table and every list of figures that the sheets of a bid are declared to hold. */
import type { Figures } from "./declare/figures";
import type { Table } from "./declare/table";
import { wayMaterials, wayPrices, ways, waySearch } from "./sheets/alternates";
import { instead, notCovered, offer, prices, safety, scope } from "./sheets/client-page";
import { chosen, chosenLines } from "./sheets/chosen";
import { steps, terms } from "./sheets/costs";
import { outlines } from "./sheets/outlines";
import { priceBook } from "./sheets/price-book";
import { packSearch, purchases } from "./sheets/purchases";
import { needs } from "./sheets/quantities";
import { applied, record } from "./sheets/record";
import { screened, taken, used } from "./sheets/review";
import { calendar, intervals, runTimes, schedule } from "./sheets/water-plan";
import { day, loads, portions, shift } from "./sheets/work-day";
import { rules, zones } from "./sheets/zones";

export const bidTables: readonly Table[] = [
  zones,
  outlines,
  ...Object.values(priceBook),
  chosenLines,
  needs,
  purchases,
  packSearch,
  steps,
  ways,
  wayPrices,
  wayMaterials,
  waySearch,
  scope,
  prices,
  instead,
  notCovered,
  safety,
  day,
  portions,
  applied,
  calendar,
  runTimes,
  intervals,
  used,
  screened,
  taken,
];

export const bidFigures: readonly Figures[] = [rules, chosen, terms, offer, shift, loads, record, schedule];

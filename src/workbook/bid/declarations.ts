/** Every table and every list of figures that the sheets of a bid are declared to hold. */
import type { Figures } from "./declare/figures";
import type { Table } from "./declare/table";
import { wayMaterials, wayPrices, ways, waySearch } from "./sheets/alternates";
import { chosen } from "./sheets/chosen";
import { steps, terms } from "./sheets/costs";
import { day } from "./sheets/crew";
import { outlines } from "./sheets/outlines";
import { priceBook } from "./sheets/price-book";
import { packSearch, purchases } from "./sheets/purchases";
import { needs } from "./sheets/quantities";
import { record } from "./sheets/record";
import { screened, taken } from "./sheets/review";
import { rules, zones } from "./sheets/site";
import { calendar } from "./sheets/watering";

export const bidTables: readonly Table[] = [
  zones,
  outlines,
  ...Object.values(priceBook),
  needs,
  purchases,
  packSearch,
  steps,
  ways,
  wayPrices,
  wayMaterials,
  waySearch,
  day,
  calendar,
  screened,
  taken,
];

export const bidFigures: readonly Figures[] = [rules, chosen, terms, record];

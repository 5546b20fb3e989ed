import type { PublishedSource } from "../published";
import * as areas from "./areas";
import * as fertiliser from "./fertiliser";
import * as preemergent from "./pre-emergent";
import * as pureLiveSeed from "./pure-live-seed";
import * as seedingRates from "./seeding-rates";
import * as sprayer from "./sprayer";
import * as spreader from "./spreader";
import * as topdressing from "./topdressing";
import * as water from "./water";
import * as workAndPrice from "./work-and-price";

const groups = [
  areas,
  pureLiveSeed,
  seedingRates,
  fertiliser,
  preemergent,
  sprayer,
  spreader,
  topdressing,
  water,
  workAndPrice,
];

/** Every source that a function is checked against. */
export const publishedSources: readonly PublishedSource[] = groups.flatMap((group) =>
  Object.values<PublishedSource>(group),
);

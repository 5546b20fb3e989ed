/** Every check. Made by `npm run generate` from the files beside this one. Findings have an order of their own. */
import type { Check } from "../check";
import { blankArea } from "./blank-area";
import { grassNotOnLabel } from "./grass-not-on-label";
import { impossibleArea } from "./impossible-area";
import { labelDoseRange } from "./label-dose-range";
import { marginOrMarkup } from "./margin-or-markup";
import { mixedUnits } from "./mixed-units";
import { noScreenLoss } from "./no-screen-loss";
import { oldSeedTag } from "./old-seed-tag";
import { packsShort } from "./packs-short";
import { phosphorus } from "./phosphorus";
import { rangePastFigures } from "./range-past-figures";
import { repeatInterval } from "./repeat-interval";
import { screenLossHistory } from "./screen-loss-history";
import { seasonLimit } from "./season-limit";
import { seedRateRange } from "./seed-rate-range";
import { seedTagSum } from "./seed-tag-sum";
import { sprayVolume } from "./spray-volume";
import { staleName } from "./stale-name";
import { stripTooLarge } from "./strip-too-large";
import { topdressingDepth } from "./topdressing-depth";
import { typedOver } from "./typed-over";
import { unlikeNeighbours } from "./unlike-neighbours";
import { unusedZone } from "./unused-zone";

export const checks: readonly Check[] = [
  blankArea,
  grassNotOnLabel,
  impossibleArea,
  labelDoseRange,
  marginOrMarkup,
  mixedUnits,
  noScreenLoss,
  oldSeedTag,
  packsShort,
  phosphorus,
  rangePastFigures,
  repeatInterval,
  screenLossHistory,
  seasonLimit,
  seedRateRange,
  seedTagSum,
  sprayVolume,
  staleName,
  stripTooLarge,
  topdressingDepth,
  typedOver,
  unlikeNeighbours,
  unusedZone,
];

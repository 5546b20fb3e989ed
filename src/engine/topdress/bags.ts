import type { NumberParameter } from "../parameters";
import { lostShare } from "../parameters";

/** What the screen keeps back of every bag that is opened. */
export const screenLossShare = lostShare(
  "screen_loss",
  "share of the opened material that the screen rejects",
);

/** Compressed material comes out of the bag looser than it went in. */
export const swellFactor = {
  takes: "number",
  id: "swell",
  kind: "count",
  about: "loose volume per volume printed on the bag",
  blank: "default",
  default: 1,
  above: 0,
} as const satisfies NumberParameter;

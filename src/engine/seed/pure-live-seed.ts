import { formula } from "../formula";
import { lostShare, share } from "../parameters";

/** Left out, the lot counts as all pure live seed: the rate is then a bulk rate. */
export const pureLiveSeedShare = {
  takes: "number",
  id: "pure_live_seed",
  kind: "share",
  about: "share of the lot that is pure live seed",
  blank: "default",
  default: 1,
  above: 0,
  most: 1,
} as const;

/** Dormant or hard seed is printed apart from germination on the tag. */
export const pureLiveSeed = formula({
  id: "PURE_LIVE_SEED",
  step: "seed",
  sentence: "Share of a seed lot that is pure live seed, from 0 to 1.",
  equation: "purity × (germination + dormant)",
  result: { name: "pure live seed", kind: "share" },
  parameters: [
    share("purity", "pure seed by weight on the tag"),
    share("germination", "germination on the tag"),
    lostShare("dormant", "hard or dormant seed on the tag"),
  ],
  sources: [
    {
      title: "Calculating the Price of Pure Live Seed",
      publisher: "Penn State Extension",
      year: 2023,
      note: "purity times germination",
    },
  ],
  example: { given: [0.95, 0.85], gives: 0.8075, story: "a tag with 95 % pure seed and 85 % germination" },
  body: (m, _unit, purity, germination, dormant) => {
    const alive = m.step("live seed", "share", m.add(germination, dormant));
    return m.refuseWhen(
      m.greater(alive, m.of(1)),
      "dormant",
      "dormant and germination add up to more than 1: enter both as the tag prints them, dormant seed not counted in germination.",
      m.mul(purity, alive),
    );
  },
});

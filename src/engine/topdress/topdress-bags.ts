import { formula } from "../formula";
import { amount, size } from "../parameters";
import { screenLossShare, swellFactor } from "./bags";
import { volumeOverArea } from "./topdress-volume";

export const topdressBags = formula({
  id: "TOPDRESS_BAGS",
  step: "topdress",
  sentence: "Whole bags of topdressing to buy, in bags, with what the screen rejects allowed for.",
  equation: "area × depth ÷ (bag volume × swell × (1 − screen loss)), rounded up",
  result: { name: "bags to buy", kind: "count", counted: "bags" },
  parameters: [
    amount("area", "area", "area to topdress"),
    size("depth", "depth", "depth of the layer"),
    size("bag_volume", "bagVolume", "volume printed on the bag"),
    screenLossShare,
    swellFactor,
  ],
  conversions: { volume: volumeOverArea },
  sources: [
    { title: "Screening a bagged peat can reject about one bag in five", publisher: "common practice" },
  ],
  example: {
    given: [2500, 0.25, 3, 0.2],
    gives: 22,
    story: "2,500 ft² at 1/4 in from 3 ft³ bags, one fifth left on the screen",
  },
  body: (m, unit, area, depth, bagVolume, screenLoss, swell) =>
    m.wholeUp(
      m.step(
        "bags needed",
        "count",
        m.div(
          m.step("loose volume", "bagVolume", m.scale(m.mul(area, depth), unit.volume)),
          m.step(
            "spread from one bag",
            "bagVolume",
            m.mul(m.mul(bagVolume, swell), m.sub(m.of(1), screenLoss)),
          ),
        ),
      ),
    ),
});

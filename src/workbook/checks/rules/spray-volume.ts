import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { slack, told } from "../told";

function* tooLittle(at: SeenCell, volume: number, from: SeenCell, reading: Reading): Finds {
  const least = numberIn(reading.ofLabel("leastVolume", from)?.cell) ?? 0;
  if (volume <= 0 || volume >= least - slack) return;
  const unit = reading.unitOf(at);
  yield {
    at,
    sentence: `The sprayer puts out ${told(volume)}${unit}, and the label asks for ${told(least)}${unit} at the least.`,
    todo: "Take larger nozzles or walk more slowly, measure again, and enter the new spray volume.",
  };
}

export const sprayVolume: Check = {
  id: "spray volume under label",
  title: "The spray volume is under the label's least",
  weight: "rule",
  source: "The least spray volume that you copied from your label.",
  figures: {
    about: ["sprayVolume"],
    look: (figure, reading) => tooLittle(figure, numberIn(figure) ?? 0, figure, reading),
  },
  calls: {
    of: ["TANK_LOADS"],
    look: ({ cell, given: [, , volume] }, reading) =>
      volume === undefined ? [] : tooLittle(volume.cell ?? cell, numberGiven(volume) ?? 0, cell, reading),
  },
};

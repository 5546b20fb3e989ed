import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { quantityTold, slack, told } from "../told";

/** Where each function is given the rate on the label. */
const ratePosition: Readonly<Record<string, number>> = { LABEL_DOSE: 1, ACTIVE_RATE: 0, TANK_LOADS: 1 };

function* inCall({ id, cell, given, system }: SeenCall, reading: Reading): Finds {
  const argument = given[ratePosition[id] ?? 0];
  const rate = argument === undefined ? undefined : numberGiven(argument);
  if (rate === undefined || rate <= 0) return;
  const at = argument?.cell ?? cell;
  // The same sum tells the water for a tank: a spray volume is no rate of product.
  if (reading.conceptOf(at) === "sprayVolume") return;
  const low = numberIn(reading.ofLabel("rateLow", cell)?.cell) ?? 0;
  const high = numberIn(reading.ofLabel("rateHigh", cell)?.cell) ?? 0;
  const rateTold = quantityTold(rate, "labelRate", system);
  if (high > 0 && rate > high + slack) {
    yield {
      at,
      sentence: `${rateTold} is above the highest rate on the label, ${told(high)}.`,
      todo: "Lower the rate to what the label allows: the label is the law.",
    };
  } else if (low > 0 && rate < low - slack) {
    yield {
      at,
      sentence: `${rateTold} is below the lowest rate on the label, ${told(low)}.`,
      todo: "Read the label again: too little may not hold, and the label decides.",
    };
  }
}

export const labelDoseRange: Check = {
  id: "dose outside label",
  title: "The dose is outside the rates on the label",
  weight: "rule",
  source: "The lowest and highest rate that you copied from your label.",
  calls: { of: Object.keys(ratePosition), look: inCall },
};

import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenRow } from "../seen";
import { numberIn } from "../seen";
import { dateTold, isDay } from "../../host";

const year = 365;

function* inRow(row: SeenRow, reading: Reading): Finds {
  const tested = reading.inRow(row, "tested")?.cell;
  const day = numberIn(tested);
  if (tested === undefined || !isDay(day)) return;
  const planned = numberIn(reading.find("seedingDay", tested)?.cell);
  const use = isDay(planned) ? planned : reading.today;
  if (use - day <= year) return;
  yield {
    at: tested,
    sentence: `The seed was tested on ${dateTold(day)}, more than a year before it is used on ${dateTold(use)}.`,
    todo: "Ask for a new germination test, or for a lot with a fresh tag.",
  };
}

export const oldSeedTag: Check = {
  id: "old seed tag",
  title: "The seed tag is older than a year",
  weight: "doubtful",
  source:
    "Common practice: germination falls in storage, and most state seed laws let a test stand for 9 to 15 months (from memory).",
  rows: { having: ["tested"], look: inRow },
};

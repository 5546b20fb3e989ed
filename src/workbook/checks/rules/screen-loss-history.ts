import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { perCent } from "../told";

const lossPosition = 3;
/** Screens differ from job to job by about so much, as a share of what is opened. */
const usual = 0.05;

function* unlikePast(at: SeenCell, planned: number, reading: Reading): Finds {
  const past: number[] = [];
  for (const { cell } of reading.callsOf("SCREEN_LOSS", at)) {
    const loss = numberIn(cell) ?? 0;
    if (loss > 0 && loss < 1) past.push(loss);
  }
  if (planned <= 0 || past.length === 0) return;
  const mean = past.reduce((sum, loss) => sum + loss, 0) / past.length;
  if (Math.abs(mean - planned) <= usual) return;
  yield {
    at,
    sentence: `${perCent(planned)} is planned, and the crew's own jobs came to ${perCent(mean)}.`,
    todo: "Carry the real loss over, or say why this job differs.",
  };
}

export const screenLossHistory: Check = {
  id: "screen loss unlike past jobs",
  title: "The screen loss differs from past jobs",
  weight: "doubtful",
  source: "What your own jobs opened and screened out.",
  figures: {
    about: ["screenLoss"],
    look: (figure, reading) => unlikePast(figure, numberIn(figure) ?? 0, reading),
  },
  calls: {
    of: ["TOPDRESS_BAGS", "TOPDRESS_DEPTH"],
    look: ({ cell, given }, reading) => {
      const loss = given[lossPosition];
      return loss === undefined ? [] : unlikePast(loss.cell ?? cell, numberGiven(loss) ?? 0, reading);
    },
  },
};

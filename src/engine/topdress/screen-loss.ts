import { formula } from "../formula";
import type { RangeParameter } from "../parameters";

const pastJobs = <const I extends string>(id: I, about: string) =>
  ({ takes: "range", id, kind: "any", about, blank: "refused", least: 0 }) as const satisfies RangeParameter;

/** Pooled, so that a large job counts for more than a small one. */
export const screenLoss = formula({
  id: "SCREEN_LOSS",
  step: "topdress",
  sentence: "Share of the opened topdressing that the screen rejects, from 0 to 1, pooled over past jobs.",
  equation: "sum screened out ÷ sum opened",
  result: { name: "screen loss", kind: "share" },
  parameters: [
    pastJobs("opened", "material opened, bags or volume, one job a cell"),
    pastJobs("screened_out", "material the screen rejected, in the same unit"),
  ],
  sources: [{ title: "Pooled share of past jobs, sum over sum", publisher: "common practice" }],
  example: {
    given: [
      [[20], [30]],
      [[4], [6]],
    ],
    gives: 0.2,
    story: "10 of 50 bags rejected over two jobs",
  },
  body: (m, _unit, opened, screenedOut) => {
    const openedInAll = m.step("opened in all", "any", m.sum([opened]));
    const rejected = m.step("screened out in all", "any", m.sum([screenedOut]));
    return m.refuseWhen(
      m.greater(rejected, openedInAll),
      "screened_out",
      "screened_out is more than was opened: enter both in the same unit, over the same jobs.",
      m.div(rejected, openedInAll),
    );
  },
});

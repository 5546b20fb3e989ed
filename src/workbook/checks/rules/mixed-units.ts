import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";

function* down(cells: readonly SeenCell[], reading: Reading): Finds {
  const byFunction = new Map<string, Record<"us" | "metric", SeenCell[]>>();
  for (const cell of cells) {
    for (const { id, given } of cell.shape?.calls ?? []) {
      const known = byFunction.get(id) ?? { us: [], metric: [] };
      const isMetric = given.some(
        ({ kind, ...one }) => kind === "literal" && "value" in one && /^metric$/i.test(String(one.value)),
      );
      known[isMetric ? "metric" : "us"].push(cell);
      byFunction.set(id, known);
    }
  }
  for (const [id, { us, metric }] of byFunction) {
    if (us.length === 0 || metric.length === 0) continue;
    const [few, unit, other] = us.length < metric.length ? [us, "us", "metric"] : [metric, "metric", "us"];
    for (const { sheet, row, column } of few) {
      yield {
        at: reading.cell(sheet, { row, column }),
        sentence: `${id} reckons in “${unit}” here and in “${other}” in the rest of the column.`,
        todo: "Give every row of the column the same units, or part the column in two.",
      };
    }
  }
}

export const mixedUnits: Check = {
  id: "mixed units",
  title: "Units are mixed in one column",
  weight: "wrong",
  source: "Arithmetic: figures in two units do not add up.",
  columns: down,
};

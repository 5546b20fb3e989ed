import { asTyped } from "../../formulas";
import { showsErrorNamed } from "../../host";
import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell } from "../seen";

function* inCell(cell: SeenCell, reading: Reading): Finds {
  const isStored = asTyped(cell.formula) !== cell.formula;
  if (!isStored && !showsErrorNamed(cell, "#NAME?")) return;
  const read = (cell.shape?.references ?? []).flatMap((reference) => reading.blockOf(cell, reference));
  if (!isStored && read.some((one) => showsErrorNamed(one, "#NAME?"))) return;
  yield {
    at: cell,
    sentence: "It shows #NAME? or is spelled as a file stores it: nothing is worked out here.",
    todo: "Use the repair in the Hand over room; if it stays, look how the function is spelt.",
  };
}

export const staleName: Check = {
  id: "stale name",
  title: "A function has been lost",
  weight: "wrong",
  source: "The cell's own error.",
  cells: inCell,
};

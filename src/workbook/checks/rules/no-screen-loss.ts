import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenCell, SeenRow } from "../seen";
import { isNothing, textIn } from "../seen";

const lossPosition = 3;
const screened = /screen|siev|sift/i;

function* forgotten(at: SeenCell, material: string): Finds {
  yield {
    at,
    sentence: `${material} is screened, and nothing is allowed for what stays on the screen.`,
    todo: "Enter the share that the screen rejected on past jobs.",
  };
}

function* inRow(row: SeenRow, reading: Reading): Finds {
  const loss = reading.inRow(row, "screenLoss")?.cell;
  const material = textIn((reading.inRow(row, "product") ?? reading.inRow(row, "topdressing"))?.cell);
  if (loss !== undefined && screened.test(material) && isNothing(loss)) yield* forgotten(loss, material);
}

function* inCall({ cell, given }: SeenCall, reading: Reading): Finds {
  const loss = given[lossPosition];
  const material = textIn((reading.near("topdressing", cell) ?? reading.near("product", cell))?.cell);
  const isBlank = loss === undefined || loss.value === null || loss.value === 0 || loss.value === "";
  if (isBlank && screened.test(material)) yield* forgotten(loss?.cell ?? cell, material);
}

export const noScreenLoss: Check = {
  id: "no screen loss",
  title: "No screen loss is allowed for",
  weight: "wrong",
  source: "Common practice: a screen can reject about one bag in five of a bagged peat.",
  rows: { having: ["screenLoss"], look: inRow },
  calls: { of: ["TOPDRESS_BAGS", "TOPDRESS_DEPTH"], look: inCall },
};

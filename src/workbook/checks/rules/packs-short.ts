import type { Concept } from "../../tables";
import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCall, SeenRow } from "../seen";
import { numberGiven, numberIn } from "../seen";
import { inUnitOf } from "../sized";
import { slack, told } from "../told";

const todo = "Buy one more pack, or note why less will do.";

function* inRow(row: SeenRow, reading: Reading): Finds {
  const needed = reading.inRow(row, "need");
  if (needed?.isLoose === true) return;
  /** Packs, or an amount in the unit of the need. */
  const figure = (concept: Concept) => {
    const labelled = reading.inRow(row, concept);
    const found = numberIn(labelled?.cell);
    return found === undefined ? undefined : inUnitOf(found, labelled?.unit, needed?.unit);
  };
  const need = figure("need");
  const [packs, size] = [figure("packs"), figure("packSize")];
  const at = (reading.inRow(row, "packs") ?? reading.inRow(row, "bought"))?.cell;
  const bought = packs !== undefined && size !== undefined ? packs * size : figure("bought");
  if (need === undefined || need <= 0 || bought === undefined || at === undefined) return;
  const held = bought + (figure("inStock") ?? 0);
  if (held >= need - slack * need) return;
  yield { at, sentence: `${told(need)} is needed, and ${told(held)} is bought or in stock.`, todo };
}

function* inCall({ cell, given: [need, pack, short] }: SeenCall): Finds {
  if (need === undefined || pack === undefined || short === undefined) return;
  const [wanted, size] = [numberGiven(need) ?? 0, numberGiven(pack) ?? 0];
  const packs = numberIn(cell) ?? 0;
  if ((numberGiven(short) ?? 0) <= 0 || packs * size >= wanted - slack * wanted) return;
  yield {
    at: cell,
    sentence: `${told(packs)} packs of ${told(size)} leave ${told(wanted - packs * size)} of ${told(wanted)} short.`,
    todo,
  };
}

export const packsShort: Check = {
  id: "packs short of need",
  title: "The packs do not reach the need",
  weight: "wrong",
  source: "Arithmetic: packs × size against the need.",
  rows: { having: ["need"], look: inRow },
  calls: { of: ["PACKS"], look: inCall },
};

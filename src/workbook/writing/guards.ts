/** Cells of somebody's sheet that tell whether it still is what the new cells were planned for. */
import type { RequestContext, Wanted, Worksheet } from "../host";
import { readBlocks, WorkbookTrouble } from "../host";
import type { Step } from "../marks";

type Formulas = readonly (readonly unknown[])[];

export interface Guard extends Wanted {
  /** What they held then. */
  readonly formulas: Formulas;
}

type GuardStep = Extract<Step, { kind: "guard" }>;

/** What cells hold, as a number: a table may be far longer than what a mark has room for. */
function sumOf(formulas: Formulas): number {
  let sum = 0;
  const add = (code: number): void => {
    sum = (Math.imul(sum, 31) + code) | 0;
  };
  for (const row of formulas)
    for (const one of row) {
      const held = String(one);
      for (let at = 0; at < held.length; at++) add(held.charCodeAt(at));
      // Two cells are not one with both their texts.
      add(-1);
    }
  return sum;
}

/** For the mark, beside which what is written stands at an address. */
export const guardSteps = (
  guards: readonly Guard[],
  told: Pick<GuardStep, "address" | "isNamed">,
): readonly GuardStep[] =>
  guards.map(({ sheet, block, formulas }) => ({
    ...{ kind: "guard", sheet: sheet.id, block, sum: sumOf(formulas), ...told },
  }));

/** Those guards that no longer hold what they held; the sheets by their ids. */
export async function movedSince(
  context: RequestContext,
  guards: readonly GuardStep[],
  there: ReadonlyMap<string, Worksheet>,
): Promise<readonly GuardStep[]> {
  const present = guards.flatMap((guard) => {
    const sheet = there.get(guard.sheet);
    return sheet === undefined ? [] : [{ guard, wanted: { sheet, block: guard.block } }];
  });
  const now = await readBlocks(
    context,
    present.map(({ wanted }) => wanted),
  );
  return present.flatMap(({ guard }, i) => (sumOf(now[i]?.formulas ?? []) === guard.sum ? [] : [guard]));
}

/** Refuses where somebody has written to such cells meanwhile, or moved them. */
export async function refuseMoved(context: RequestContext, guards: readonly Guard[]): Promise<void> {
  if (guards.length === 0) return;
  const now = await readBlocks(context, guards);
  const isSame = guards.every(({ formulas }, i) =>
    formulas.every((row, down) =>
      row.every((one, across) => String(one) === String(now[i]?.formulas[down]?.[across])),
    ),
  );
  if (!isSame)
    throw new WorkbookTrouble(
      "Somebody changed the sheet meanwhile, so nothing was written: look at it, then try again.",
    );
}

/** Works that were left half done, in this workbook and by this pane: they can be finished or taken back. */
import { inWorkbook } from "../host";
import type { Marked, WorkId } from "../marks";
import { clearMark, clearRemains, marksLeft, works } from "../marks";
import type { LeftCell } from "./steps";
import { giveBackOrTell } from "./steps";

export interface Unfinished {
  readonly id: string;
  readonly work: WorkId;
  /** What was going on. */
  readonly told: string;
  readonly canFinish: boolean;
  readonly canTakeBack: boolean;
  /** What somebody typed as it was written over, and what could not be given back. */
  readonly lost: readonly LeftCell[];
}

const isOneOf = (work: WorkId, ...some: readonly WorkId[]): boolean => some.includes(work);

/** Whether a work can be done anew from what its mark tells. */
const isDoneAnew = ({ work, again }: Marked): boolean =>
  again !== undefined && isOneOf(work, "bid", "beside", "hand-over", "return", "repair");

const canTakeBack = ({ steps }: Marked): boolean => !steps.some(({ kind }) => kind === "no way back");

const isToldWhole = (one: Marked): boolean =>
  one.isWhole === true && canTakeBack(one) && one.steps.some(({ kind }) => kind === "cells");

/** A work of which nothing was begun is none: its mark goes without a word. */
export const unfinishedWorks = (): Promise<readonly Unfinished[]> =>
  inWorkbook(async (context) => {
    const left = await marksLeft(context);
    const begun = left.filter(({ steps }) => steps.length > 0);
    for (const one of left) if (!begun.includes(one)) await clearMark(context, one.id);
    await clearRemains(context);
    // What somebody typed and lost comes first, whatever is done with the work.
    const lost = new Map<string, readonly LeftCell[]>();
    for (const { id } of begun) lost.set(id, await giveBackOrTell(context, id));
    return begun.map((one) => ({
      id: one.id,
      work: one.work,
      told: works[one.work],
      canFinish: isDoneAnew(one) || isToldWhole(one),
      canTakeBack: canTakeBack(one),
      lost: lost.get(one.id) ?? [],
    }));
  });

/** Leaves what stands there as it is, and says no more of it. */
export const leaveWork = (id: string): Promise<void> => inWorkbook((context) => clearMark(context, id));

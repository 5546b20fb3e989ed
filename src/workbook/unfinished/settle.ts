/** Finishes a work that was left half done, or takes it back. */
import type { BidOptions } from "../bid";
import { writeBid } from "../bid";
import type { HandOverWay } from "../handover";
import { bringBack, carriersBack, handOver, valuesBeside } from "../handover";
import type { Progress } from "../host";
import { inWorkbook, WorkbookTrouble } from "../host";
import { repairCalls } from "../own-sheets";
import type { LeftCell } from "../work";
import { oneAtATime, refuseGuarded, sheetsThere, stepDone, stepsBack } from "../work";
import type { Marked } from "../marks";
import { clearMark, marksLeft } from "../marks";

export interface Settled {
  /** What is left as it is, since somebody wrote there meanwhile. */
  readonly left: readonly LeftCell[];
}

const markOf = (id: string): Promise<Marked> =>
  inWorkbook(async (context) => {
    const found = (await marksLeft(context)).find((one) => one.id === id);
    if (found === undefined)
      throw new WorkbookTrouble("That work is not there any more: look at the sheets.");
    return found;
  });

async function backed(mark: Marked): Promise<readonly LeftCell[]> {
  return oneAtATime(mark.work, () => inWorkbook((context) => stepsBack(context, mark, carriersBack)));
}

const cleared = (id: string): Promise<void> => inWorkbook((context) => clearMark(context, id));

export async function takeBackWork(id: string): Promise<Settled> {
  const left = await backed(await markOf(id));
  await cleared(id);
  return { left };
}

/** What the works that are done anew keep for it; a pane writes it and reads it itself. */
interface Again {
  readonly bid: BidOptions;
  readonly beside: { readonly sheets: readonly string[]; readonly withWorking: boolean };
  readonly "hand-over": { readonly sheets: readonly string[]; readonly way: HandOverWay };
  readonly return: { readonly sheets: readonly string[]; readonly editedToo: boolean };
}

const namesNow = (ids: readonly string[]): Promise<readonly string[]> =>
  inWorkbook(async (context) => {
    const there = await sheetsThere(context);
    return ids.flatMap((id) => there.get(id)?.name ?? []);
  });

/** What is told as left once it was done anew. */
const told = (notes: readonly LeftCell[]): readonly LeftCell[] =>
  notes.map(({ sheet, address }) => ({ sheet, address }));

async function doneAnew({ work, again }: Marked, progress: Progress): Promise<readonly LeftCell[]> {
  const given = again as Again[keyof Again];
  if (work === "bid") await writeBid(given as Again["bid"], progress);
  if (work === "beside") {
    const { sheets, withWorking } = given as Again["beside"];
    await valuesBeside(await namesNow(sheets), withWorking, progress);
  }
  if (work === "hand-over") {
    const { sheets, way } = given as Again["hand-over"];
    const { meanwhile } = await handOver(await namesNow(sheets), progress, way);
    return told(meanwhile);
  }
  if (work === "repair") await repairCalls(progress);
  if (work === "return") {
    const { sheets, editedToo } = given as Again["return"];
    const { changed } = await bringBack(await namesNow(sheets), progress, { editedToo });
    return told(changed);
  }
  return [];
}

/** What can be done anew is taken back first, so that all of it is looked at again; the rest goes on where it stopped. */
export async function finishWork(id: string, progress: Progress): Promise<Settled> {
  const mark = await markOf(id);
  if (mark.again !== undefined) {
    if (!mark.steps.some(({ kind }) => kind === "no way back")) await backed(mark);
    const left = await doneAnew(mark, progress);
    await cleared(id);
    return { left };
  }
  const left = await oneAtATime(mark.work, () =>
    inWorkbook(async (context) => {
      const all: LeftCell[] = [];
      await refuseGuarded(context, mark.steps);
      for (const step of mark.steps) all.push(...(await stepDone(context, step, id)));
      await refuseGuarded(context, mark.steps);
      return all;
    }),
  );
  await cleared(id);
  return { left };
}

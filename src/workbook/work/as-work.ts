/** One work at a time across the pane, each with its mark in the workbook, and taken back where it fails or is stopped. */
import type { RequestContext } from "../host";
import { asSentence, inWorkbook, patiently, speakAnew, Stopped, WorkbookTrouble } from "../host";
import type { Head, Step, WorkId } from "../marks";
import { clearMark, Mark, works } from "../marks";
import type { CarriersBack, LeftCell } from "./steps";
import { movedBack } from "./moved-back";
import { giveBackOrTell, stepBack } from "./steps";

/** Even taking back failed: the mark of the work says what is to be finished or taken back. */
class HalfWay extends WorkbookTrouble {
  constructor(work: WorkId, cause: unknown) {
    super(
      `Excel stopped answering part of the way. ${works[work]} is not done: once Excel answers again, the top of the pane offers to finish it or to take it back.`,
      { cause },
    );
  }
}

let atIt: WorkId | undefined;
let listener: (() => void) | undefined;

/** Calls the listener when a work was left half done. */
export function onLeftHalfDone(listen: () => void): void {
  listener = listen;
}

/** Runs something that writes into the workbook, while nothing else of the pane does. */
export async function oneAtATime<T>(work: WorkId, run: () => Promise<T>): Promise<T> {
  if (atIt !== undefined)
    throw new WorkbookTrouble(
      `${works[atIt]} is still going on: wait until that is done, or stop it, then try again.`,
    );
  atIt = work;
  try {
    return await run();
  } finally {
    atIt = undefined;
  }
}

const noCarriers: CarriersBack = () => Promise.resolve([]);

/** Takes the steps of a mark back from a number on, the last of them first. */
export async function stepsBack(
  context: RequestContext,
  mark: Pick<Mark, "id" | "steps">,
  carriersBack: CarriersBack = noCarriers,
  from = 0,
): Promise<readonly LeftCell[]> {
  const left: LeftCell[] = [];
  let steps: readonly Step[] = mark.steps.slice(from);
  await patiently(async () => {
    steps = await movedBack(context, steps, mark.id);
    left.push(...(await giveBackOrTell(context, mark.id)));
  });
  for (const step of [...steps].reverse())
    await patiently(async () => {
      left.push(...(await stepBack(context, step, carriersBack, mark.id)));
    });
  return left;
}

const toTypeAgain = (lost: readonly LeftCell[]): string =>
  lost
    .map(({ sheet, address, typed = "" }) => ` Type “${typed}” into ${sheet} ${address} again: it was lost.`)
    .join("");

const leftAlone = (all: readonly LeftCell[]): string => {
  const left = all.filter(({ typed }) => typed === undefined);
  const again = toTypeAgain(all.filter(({ typed }) => typed !== undefined));
  const [first] = left;
  if (first === undefined) return again;
  const others = left.length === 1 ? "" : ` and ${left.length - 1} more`;
  return `${again} Somebody wrote to ${first.sheet} ${first.address}${others} meanwhile: look at what stands there.`;
};

/** What a work does with its mark when it failed: nothing of it stays, or the mark does. */
async function takenBack(mark: Mark, work: WorkId, why: unknown, carriersBack: CarriersBack): Promise<void> {
  let left: readonly LeftCell[] = [];
  try {
    if (mark.steps.some(({ kind }) => kind === "no way back")) throw why;
    // What the work had yet to send must not be sent now: this speaks to the workbook anew.
    await speakAnew(async (context) => {
      left = await stepsBack(context, mark, carriersBack);
      await patiently(() => clearMark(context, mark.id));
    });
  } catch {
    listener?.();
    throw new HalfWay(work, why);
  }
  // Whoever stops a work knows that it wrote, and not that what somebody typed was lost.
  const isTold = !(why instanceof Stopped) || left.some(({ typed }) => typed !== undefined);
  if (left.length > 0 && isTold)
    throw new WorkbookTrouble(`${asSentence(why)}${leftAlone(left)}`, { cause: why });
}

/** Does a work of the pane: nothing else is at it meanwhile, and it is done, or taken back, or marked as half done. */
export const asWork = <T>(
  head: Head,
  work: (context: RequestContext, mark: Mark) => Promise<T>,
  carriersBack: CarriersBack = noCarriers,
): Promise<T> =>
  oneAtATime(head.work, () =>
    inWorkbook(async (context) => {
      const mark = new Mark(context, head);
      try {
        const result = await work(context, mark);
        // It is done: a mark that stays by accident is offered, and does no harm.
        await mark.clear().catch(() => undefined);
        return result;
      } catch (error) {
        if (mark.isKept) await takenBack(mark, head.work, error, carriersBack);
        throw error;
      } finally {
        mark.end();
      }
    }),
  );

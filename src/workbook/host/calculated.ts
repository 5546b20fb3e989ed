/**
 * Values are read when they are calculated. Answers of functions come later than the edit that asks for them, and
 * where calculation is manual nothing comes until it is asked for: a value read before that is none.
 */
import { typesToo, valuesOf } from "./blocks";
import type { Progress } from "./progress";
import { pass, slices, unreported, untold } from "./progress";
import { WorkbookTrouble } from "./trouble";

/** What a cell shows whose answer is still to come. */
const busy = "#BUSY!";

/** A stop must come through between two looks, in milliseconds. */
const longestPause = 250;
const firstPause = 25;
/** So many looks, which take some twenty seconds. */
const mostLooks = 80;
/** A workbook with volatile formulas may say for ever that something is pending: after so many looks it is read. */
const mostPending = 8;

const stillCalculating =
  "Cells are still being calculated: wait until none of them shows #BUSY!, then try again. If that lasts, close the workbook and open it again.";

const what = "Waiting until the workbook is calculated";

let calculationAsked: () => void = () => undefined;

/** Calls the listener whenever a workbook of manual calculation had to be calculated before it was read. */
export function onCalculationAsked(listener: () => void): void {
  calculationAsked = listener;
}

/** Where calculation is manual and edits wait for it: it is asked for, or left to the person, and nothing is read. */
export type Uncalculated = "calculate" | "leave";

/** Edits wait for a calculation that is the person's to ask for: nothing was read. */
export class LeftUncalculated extends Error {
  override readonly name = "LeftUncalculated";
}

const sleep = (time: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, time));

/** Looks again and again, ever more seldom, and gives up with a sentence. */
class Patience {
  private looks = 0;

  constructor(private readonly progress: Progress) {}

  get isLongPending(): boolean {
    return this.looks >= mostPending;
  }

  async wait(): Promise<void> {
    if (this.looks >= mostLooks) throw new WorkbookTrouble(stillCalculating);
    pass(this.progress, this.looks, mostLooks, what);
    await sleep(Math.min(longestPause, firstPause * 2 ** this.looks++));
  }
}

/** Asks for a calculation where nothing follows an edit until it is asked for. */
async function askForCalculation(application: Excel.Application): Promise<void> {
  application.calculate(Excel.CalculationType.recalculate);
  await application.context.sync();
  if (application.calculationMode === Excel.CalculationMode.manual) calculationAsked();
}

/** Waits for the host's word that the calculation has ended, or that it is left to the person. */
async function waitForWord(
  application: Excel.Application,
  patience: Patience,
  isLeft: () => boolean,
): Promise<void> {
  const { done, pending } = Excel.CalculationState;
  let isAsked = false;
  do {
    // What was being worked out when it was first looked at may leave edits that wait to be asked for.
    if (application.calculationState === pending && !isAsked) {
      await askForCalculation(application);
      isAsked = true;
    }
    await patience.wait();
    application.load("calculationState");
    await application.context.sync();
  } while (
    application.calculationState !== done &&
    !isLeft() &&
    !(application.calculationState === pending && isAsked && patience.isLongPending)
  );
}

/** So many values are looked at between two questions whether it is time to pause. */
const valuesAtATime = 100;

async function holdsBusy(values: Iterable<unknown>, progress: Progress): Promise<boolean> {
  const pause = slices(unreported(progress), what);
  let seen = 0;
  for (const value of values) {
    if (value === busy) return true;
    if (++seen % valuesAtATime === 0) await pause(0, 1);
  }
  return false;
}

/** Reads, and reads again until all that was read is calculated. */
export async function asCalculated<T>(
  context: Excel.RequestContext,
  read: () => Promise<T>,
  valuesOf: (found: T) => Iterable<unknown>,
  progress: Progress = untold,
  uncalculated: Uncalculated = "calculate",
): Promise<T> {
  const { application } = context.workbook;
  const isLeft = () =>
    uncalculated === "leave" &&
    application.calculationMode === Excel.CalculationMode.manual &&
    application.calculationState === Excel.CalculationState.pending;
  const patience = new Patience(progress);
  for (;;) {
    // Asked in the batch that reads, so that a workbook at rest is read in one.
    application.load("calculationMode,calculationState");
    const found = await read();
    if (isLeft()) throw new LeftUncalculated();
    const isDone = application.calculationState === Excel.CalculationState.done || patience.isLongPending;
    const isBusy = await holdsBusy(valuesOf(found), progress);
    if (isDone && !isBusy) return found;
    if (isDone) await patience.wait();
    else await waitForWord(application, patience, isLeft);
  }
}

/** Loads ranges, values among what is loaded, when they are calculated; answers with those whose kinds of values are loaded too. */
export const loadCalculated = (
  context: Excel.RequestContext,
  ranges: readonly Excel.Range[],
  properties = "values",
): Promise<ReadonlySet<Excel.Range>> =>
  asCalculated(
    context,
    async () => {
      for (const range of ranges) range.load(properties);
      await context.sync();
      return typesToo(context, ranges, properties);
    },
    // Only a range whose kinds of values were asked for holds anything that could be the word for a cell still worked out.
    (typed) => valuesOf([...typed].map(({ values, valueTypes }) => ({ values, types: valueTypes }))),
  );

/** Long work tells how far it is and can be stopped; a stop leaves the workbook as it was. */
export interface Progress {
  report(done: number, total: number, what: string): void;
  readonly stopped: boolean;
}

/** For work that nobody watches and that ends by itself. */
export const untold: Progress = { report: () => undefined, stopped: false };

/** For a part of work that tells how far it is as a whole: the part only stops. */
export const unreported = (progress: Progress): Progress => ({
  report: () => undefined,
  get stopped() {
    return progress.stopped;
  },
});

export class Stopped extends Error {
  override readonly name = "Stopped";

  constructor() {
    super("Stopped: the workbook is as it was.");
  }
}

/** Tells how far the work is, and ends it here when the person has asked to stop. */
export function pass(progress: Progress, done: number, total: number, what: string): void {
  if (progress.stopped) throw new Stopped();
  progress.report(done, total, what);
}

/** Lets the person at the sheet go on between two slices of the work, and may end it. */
export type Pause = (done: number, total: number) => Promise<void>;

/** So long a slice of the work is not felt at the sheet, in milliseconds. */
const sliceTime = 12;

/** Gives way between two pieces of work, each of them short enough by itself. */
const giveWay = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));

/** Work in slices: each pause tells how far it is, and lets a stop come through. */
export function slices(progress: Progress, what: string): Pause {
  let begun = performance.now();
  return async (done, total) => {
    if (performance.now() - begun < sliceTime) return;
    pass(progress, done, total, what);
    await giveWay();
    begun = performance.now();
  };
}

/** Work that stops after each piece, and tells then what share of it is done. */
export type Pieces<T> = Generator<number, T>;

/** Such work as a part of a larger one: the share of the whole that is done while so much of the part is. */
export function* within<T>(part: Pieces<T>, share: (ofPart: number) => number): Pieces<T> {
  for (;;) {
    const { done, value } = part.next();
    if (done === true) return value;
    yield share(value);
  }
}

/** Runs such work to its end in slices. */
export async function inSlices<T>(work: Pieces<T>, pause: Pause): Promise<T> {
  for (;;) {
    const { done, value } = work.next();
    if (done === true) return value;
    await pause(value, 1);
  }
}

/** Runs such work to its end without a pause: for what is known to be short. */
export function atOnce<T>(work: Pieces<T>): T {
  for (;;) {
    const { done, value } = work.next();
    if (done === true) return value;
  }
}

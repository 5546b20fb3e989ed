/** Long work tells how far it is and can be stopped; a stop leaves the workbook as it was. */
export interface Progress {
  report(done: number, total: number, what: string): void;
  readonly stopped: boolean;
}

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

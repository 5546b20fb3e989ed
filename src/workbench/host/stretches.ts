/** A turn of the event loop that is waited for while nothing else is due. */
const TICK = 1;

/**
 * Measures how long the add-in goes on without giving way. The host's own work within a stretch is not the add-in's,
 * and is left out.
 */
export class Stretches {
  /** The longest so far, in milliseconds. */
  longest = 0;
  /** What the time is read from; on a machine that others use too, the time that the processor spent here. */
  clock: () => number = () => performance.now();
  private busy = 0;
  private begun = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;

  start(): void {
    this.stop();
    this.longest = 0;
    this.next();
  }

  stop(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
  }

  /** Work of the host. */
  byHost<Result>(work: () => Result): Result {
    const begun = this.clock();
    try {
      return work();
    } finally {
      this.busy += this.clock() - begun;
    }
  }

  private next(): void {
    this.begun = this.clock();
    this.busy = 0;
    this.timer = setTimeout(() => {
      this.longest = Math.max(this.longest, this.clock() - this.begun - this.busy);
      this.next();
    }, TICK);
  }
}

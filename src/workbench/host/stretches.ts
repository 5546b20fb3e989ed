/** A turn of the event loop that is waited for while nothing else is due. */
const TICK = 1;

/**
 * Measures how long the add-in goes on without giving way. The host's own work within a stretch is not the add-in's,
 * and is left out.
 */
export class Stretches {
  /** The longest so far, in milliseconds. */
  longest = 0;
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
    const begun = performance.now();
    try {
      return work();
    } finally {
      this.busy += performance.now() - begun;
    }
  }

  private next(): void {
    this.begun = performance.now();
    this.busy = 0;
    this.timer = setTimeout(() => {
      this.longest = Math.max(this.longest, performance.now() - this.begun - this.busy);
      this.next();
    }, TICK);
  }
}

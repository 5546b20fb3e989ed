import { Work } from "../../parts/progress";

/** Work that is done by then needs no telling. */
const soon = 600;

/** A check writes nothing, so there is nothing to put back. */
export class Looking extends Work {
  private readonly begun = performance.now();

  /** Whether it takes so long that a person wonders. */
  get isLong(): boolean {
    return performance.now() - this.begun > soon;
  }

  override get told(): string {
    return this.stopped ? "Stopping" : super.told;
  }
}

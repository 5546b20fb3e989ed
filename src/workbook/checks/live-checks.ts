/**
 * The checks kept up to date beside a person who types: a pause after the last edit, then what the edits touch. Where
 * calculation is manual, that is left to the person: what was found stands until the workbook is calculated.
 */
import type { Edited, Heard, Progress, Uncalculated } from "../host";
import { asSentence, LeftUncalculated, Stopped, watchWorkbook } from "../host";
import type { Finding } from "./check";
import { WorkbookChecks } from "./run-checks";

export type CheckState =
  | {
      readonly kind: "checked";
      readonly findings: readonly Finding[];
      /** Edits that no calculation has followed are not in what was found. */
      readonly isBehind: boolean;
    }
  | { readonly kind: "stopped" }
  | { readonly kind: "trouble"; readonly sentence: string };

/** In milliseconds: long enough to let a person type on, short enough to be there when they look up. */
const settled = 400;

export class LiveChecks {
  private checks: WorkbookChecks | null = null;
  private edited: Edited[] = [];
  /** Sheets have come or gone since the workbook was read, perhaps while it was checked. */
  private isStale = false;
  /** What the next work does where edits wait for a calculation. */
  private uncalculated: Uncalculated = "leave";
  /** Calculations that were heard of. */
  private calculations = 0;
  private last: CheckState | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private running: Promise<void> | null = null;
  private unwatch: (() => Promise<void>) | null = null;

  constructor(
    /** A progress for each piece of work; a whole check is shown, a small one is not. */
    private readonly progress: (isWhole: boolean) => Progress,
    private readonly told: (state: CheckState) => void,
    private readonly pause = settled,
    /** Between two looks whether sheets were renamed; the watch's own where nothing is said. */
    private readonly betweenLooks?: number,
  ) {}

  /** Checks the whole workbook, and follows it from then on. */
  async start(): Promise<void> {
    this.checks = null;
    await this.calculate();
  }

  /** Has the workbook calculated and looks at what was edited. */
  async calculate(): Promise<void> {
    this.uncalculated = "calculate";
    await this.run();
  }

  /** No longer follows the workbook. */
  async stop(): Promise<void> {
    clearTimeout(this.timer);
    // Forgotten before the host has answered: work that begins meanwhile must watch anew.
    const { unwatch } = this;
    this.unwatch = null;
    await unwatch?.();
  }

  private heard(heard: Heard): void {
    if (heard === "calculated") {
      this.calculations++;
      if (this.last?.kind === "checked" && this.last.isBehind) this.runSoon();
      return;
    }
    if (heard === "everything") {
      // Another sheet has another name to hear of.
      this.isStale = true;
      void this.stop();
    } else this.edited.push(heard.edited);
    this.runSoon();
  }

  private runSoon(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.run(), this.pause);
  }

  /** One piece of work at a time; what is heard meanwhile comes after it. */
  private async run(): Promise<void> {
    while (this.running !== null) await this.running;
    this.running = this.work();
    await this.running;
    this.running = null;
  }

  private async work(): Promise<void> {
    const { edited, uncalculated, calculations } = this;
    this.edited = [];
    this.uncalculated = "leave";
    if (this.isStale) this.checks = null;
    this.isStale = false;
    try {
      this.unwatch ??= await this.watch();
      this.checks =
        (await this.recheck(edited, uncalculated)) ??
        (await WorkbookChecks.start(this.progress(true), undefined, uncalculated));
      this.tell({ kind: "checked", findings: this.checks.findings, isBehind: false });
    } catch (error) {
      if (error instanceof LeftUncalculated) {
        this.edited = [...edited, ...this.edited];
        this.fallBehind();
        if (this.calculations > calculations) this.runSoon();
      } else if (error instanceof Stopped) this.tell({ kind: "stopped" });
      else this.tell({ kind: "trouble", sentence: asSentence(error) });
    }
  }

  private fallBehind(): void {
    if (this.last !== null)
      this.tell(this.last.kind === "checked" ? { ...this.last, isBehind: true } : this.last);
  }

  private tell(state: CheckState): void {
    this.last = state;
    this.told(state);
  }

  private watch(): Promise<() => Promise<void>> {
    return watchWorkbook((heard) => this.heard(heard), this.betweenLooks);
  }

  /** Checks again what was edited; nothing where the whole workbook has to be read. */
  private async recheck(
    edited: readonly Edited[],
    uncalculated: Uncalculated,
  ): Promise<WorkbookChecks | null> {
    const known = this.checks;
    // Until it is done, what was found before cannot be told from what is found now.
    this.checks = null;
    if (known === null) return null;
    try {
      return (await known.recheck(edited, this.progress(false), uncalculated)) ? known : null;
    } catch (error) {
      // Nothing was read, so that what is known is known still.
      if (error instanceof LeftUncalculated) this.checks = known;
      if (error instanceof Stopped || error instanceof LeftUncalculated) throw error;
      // A sheet that was renamed is no longer found by its name.
      await this.stop();
      this.unwatch = await this.watch();
      return null;
    }
  }
}

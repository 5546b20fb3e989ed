/** The checks kept up to date beside a person who types: a pause after the last edit, then what the edits touch. */
import type { Progress } from "../progress";
import { Stopped } from "../progress";
import { asSentence } from "../trouble";
import type { Edited, Heard } from "../watch-workbook";
import { watchWorkbook } from "../watch-workbook";
import type { Finding } from "./check";
import { WorkbookChecks } from "./run-checks";

export type CheckState =
  | { readonly kind: "checked"; readonly findings: readonly Finding[] }
  | { readonly kind: "stopped" }
  | { readonly kind: "trouble"; readonly sentence: string };

/** In milliseconds: long enough to let a person type on, short enough to be there when they look up. */
const settled = 400;

export class LiveChecks {
  private checks: WorkbookChecks | null = null;
  private edited: Edited[] = [];
  /** Sheets have come or gone since the workbook was read, perhaps while it was checked. */
  private isStale = false;
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
    if (heard === "everything") {
      // Another sheet has another name to hear of.
      this.isStale = true;
      void this.stop();
    } else this.edited.push(heard.edited);
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
    const edited = this.edited;
    this.edited = [];
    if (this.isStale) this.checks = null;
    this.isStale = false;
    try {
      this.unwatch ??= await watchWorkbook((heard) => this.heard(heard), this.betweenLooks);
      this.checks = (await this.recheck(edited)) ?? (await WorkbookChecks.start(this.progress(true)));
      this.told({ kind: "checked", findings: this.checks.findings });
    } catch (error) {
      this.told(
        error instanceof Stopped ? { kind: "stopped" } : { kind: "trouble", sentence: asSentence(error) },
      );
    }
  }

  /** Checks again what was edited; nothing where the whole workbook has to be read. */
  private async recheck(edited: readonly Edited[]): Promise<WorkbookChecks | null> {
    const known = this.checks;
    // Until it is done, what was found before cannot be told from what is found now.
    this.checks = null;
    if (known === null) return null;
    try {
      return (await known.recheck(edited, this.progress(false))) ? known : null;
    } catch (error) {
      if (error instanceof Stopped) throw error;
      // A sheet that was renamed is no longer found by its name.
      await this.stop();
      this.unwatch = await watchWorkbook((heard) => this.heard(heard), this.betweenLooks);
      return null;
    }
  }
}

/** Work that takes a while: how far it is, and a way to stop it. */
import { html } from "lit-html";
import type { Progress } from "../../workbook/host";

export class Work implements Progress {
  stopped = false;
  private done = 0;
  private total = 1;
  private what = "Starting";

  constructor(
    private readonly changed: () => void,
    private readonly stopping = "Stopping and putting back what was written",
  ) {}

  report(done: number, total: number, what: string): void {
    this.done = done;
    this.total = total;
    this.what = what;
    this.changed();
  }

  stop(): void {
    this.stopped = true;
    this.changed();
  }

  get told(): string {
    return this.stopped ? this.stopping : this.what;
  }

  /** Whole per cent, never above 100 when the last batch is a short one. */
  get perCent(): number {
    return this.total <= 0 ? 0 : Math.min(100, Math.round((this.done / this.total) * 100));
  }
}

export const progressView = (work: Work) => html`
  <div class="progress">
    <p role="status">${work.told}</p>
    <fluent-progress-bar
      aria-label=${work.told}
      min="0"
      max="100"
      value=${work.perCent}
    ></fluent-progress-bar>
    <fluent-button size="small" ?disabled=${work.stopped} @click=${() => work.stop()}>Stop</fluent-button>
  </div>
`;

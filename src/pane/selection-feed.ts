/** One watch over the selection for all rooms: told once a person has stopped moving about. */
import type { Place } from "../workbook/host";
import { asSentence, patiently, readSelection, watchSelection } from "../workbook/host";

export type Selected = { readonly place: Place } | { readonly trouble: string };

/** Long enough to let a person arrow past cells, short enough to feel at once. */
const settled = 150;

export class SelectionFeed {
  private readonly listeners: ((selected: Selected) => void)[] = [];
  private timer: ReturnType<typeof setTimeout> | undefined;
  private asked = 0;
  selected: Selected | null = null;

  listen(listener: (selected: Selected) => void): void {
    this.listeners.push(listener);
  }

  async start(): Promise<void> {
    // What a person edits in the workbook raises no selection event, but they come back to the pane by a click.
    window.addEventListener("focus", () => this.soon());
    await this.refresh();
    // A pane that is opened while a cell is edited would otherwise never follow.
    await patiently(async () => {
      await watchSelection(() => this.soon());
    });
    await this.refresh();
  }

  private soon(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.refresh(), settled);
  }

  async refresh(): Promise<Selected> {
    const asked = ++this.asked;
    const selected = await readSelection().then(
      ({ sheet, address }): Selected => ({ place: { sheet, address } }),
      (error: unknown): Selected => ({ trouble: asSentence(error) }),
    );
    if (asked === this.asked) {
      this.selected = selected;
      for (const listener of this.listeners) listener(selected);
    }
    return selected;
  }
}

/** What the pane left half done, with an offer to finish it or to take it back. */
import { html, nothing, render } from "lit-html";
import { Stopped } from "../../workbook/progress";
import { asSentence } from "../../workbook/trouble";
import type { Unfinished } from "../../workbook/unfinished";
import { leaveWork, unfinishedWorks } from "../../workbook/unfinished";
import { onLeftHalfDone } from "../../workbook/work/as-work";
import type { Settled } from "../../workbook/work/settle";
import { message } from "./message";
import { progressView, Work } from "./progress";

/** So many cells are named; the rest are counted. */
const mostNamed = 5;

const leftView = ({ left }: Settled) => {
  if (left.length === 0) return nothing;
  const more = left.length - mostNamed;
  return html`
    Somebody wrote to these meanwhile, so they are as they left them: look at each.
    <ul>
      ${left.slice(0, mostNamed).map(({ sheet, address }) => html`<li>${sheet} ${address}</li>`)}
      ${more > 0 ? html`<li>and ${more} more</li>` : nothing}
    </ul>
  `;
};

export class UnfinishedOffer {
  private works: readonly Unfinished[] = [];
  private work: Work | null = null;
  private told: unknown = nothing;

  constructor(private readonly panel: HTMLElement) {
    onLeftHalfDone(() => void this.look());
  }

  /** Looks whether there is anything; a workbook that does not answer is asked again when something failed. */
  async look(): Promise<void> {
    this.works = await unfinishedWorks().catch(() => []);
    this.draw();
  }

  private async settle(done: string, act: (work: Work) => Promise<Settled>): Promise<void> {
    const work = new Work(() => this.draw());
    this.work = work;
    this.told = nothing;
    this.draw();
    try {
      const settled = await act(work);
      this.told = message("success", html`${done} ${leftView(settled)}`);
    } catch (error) {
      this.told =
        error instanceof Stopped ? message("info", error.message) : message("error", asSentence(error));
    }
    this.work = null;
    await this.look();
    this.panel.querySelector<HTMLElement>("fluent-button, .message")?.focus();
  }

  private finish({ id, told }: Unfinished): Promise<void> {
    return this.settle(`${told} is finished.`, async (work) =>
      (await import("../../workbook/work/settle")).finishWork(id, work),
    );
  }

  private takeBack({ id, told }: Unfinished): Promise<void> {
    return this.settle(`${told} is taken back.`, async () =>
      (await import("../../workbook/work/settle")).takeBackWork(id),
    );
  }

  private async leave({ id }: Unfinished): Promise<void> {
    await leaveWork(id).catch(() => undefined);
    await this.look();
  }

  private offer(one: Unfinished) {
    const { told, canFinish, canTakeBack } = one;
    const button = (label: string, act: () => Promise<void>) =>
      html`<fluent-button size="small" @click=${() => void act()}>${label}</fluent-button>`;
    return message(
      "warning",
      html`${told} stopped part of the way: some of it stands in this workbook and some does not.`,
      html`
        ${canFinish ? button("Finish it", () => this.finish(one)) : nothing}
        ${canTakeBack ? button("Take it back", () => this.takeBack(one)) : nothing}
        ${button("Leave it as it is", () => this.leave(one))}
      `,
    );
  }

  private draw(): void {
    const { work, works, told } = this;
    render(
      html`${work === null ? works.map((one) => this.offer(one)) : progressView(work)} ${told}`,
      this.panel,
    );
  }
}

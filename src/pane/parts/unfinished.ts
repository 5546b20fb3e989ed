/** What the pane left half done, with an offer to finish it or to take it back. */
import { html, nothing, render } from "lit-html";
import { asSentence, Stopped } from "../../workbook/host";
import type { LeftCell, Unfinished } from "../../workbook/work";
import { leaveWork, onLeftHalfDone, unfinishedWorks } from "../../workbook/work";
import type { Settled } from "../../workbook/unfinished";
import { message } from "./message";
import { progressView, Work } from "./progress";

/** So many cells are named; the rest are counted. */
const mostNamed = 5;

/** What is to be typed again by whoever typed it, all of it. */
const lostView = (all: readonly LeftCell[]) => {
  const lost = all.filter(({ typed }) => typed !== undefined);
  if (lost.length === 0) return nothing;
  return html`
    These were typed as they were written over, and could not be put back: type them again.
    <ul>
      ${lost.map(({ sheet, address, typed }) => html`<li>${sheet} ${address}: ${typed}</li>`)}
    </ul>
  `;
};

const leftLine = ({ sheet, address, held }: LeftCell) =>
  html`<li>${sheet} ${address}${held === undefined ? nothing : `, which held ${held} before`}</li>`;

const leftView = (settled: Settled) => {
  const left = settled.left.filter(({ typed }) => typed === undefined);
  if (left.length === 0) return nothing;
  const more = left.length - mostNamed;
  return html`
    Somebody wrote to these meanwhile, so they are as they left them: look at each.
    <ul>
      ${left.slice(0, mostNamed).map(leftLine)} ${more > 0 ? html`<li>and ${more} more</li>` : nothing}
    </ul>
  `;
};

/** So long the pane waits before it asks a workbook again that did not answer, in milliseconds. */
const untilAsked = 2000;

export class UnfinishedOffer {
  private works: readonly Unfinished[] = [];
  private work: Work | null = null;
  private isTakingBack = false;
  private isLooking = false;
  private told: unknown = nothing;

  constructor(private readonly panel: HTMLElement) {
    onLeftHalfDone(() => void this.look());
  }

  /** Looks whether there is anything; a workbook that does not answer is asked until it does. */
  async look(): Promise<void> {
    if (this.isLooking) return;
    this.isLooking = true;
    for (let isAnswered = false; !isAnswered;) {
      isAnswered = await unfinishedWorks().then(
        (works) => {
          this.works = works;
          return true;
        },
        () => false,
      );
      if (!isAnswered) await new Promise((resolve) => setTimeout(resolve, untilAsked));
    }
    this.isLooking = false;
    this.draw();
  }

  private async settle(done: string, act: () => Promise<Settled>): Promise<void> {
    this.told = nothing;
    this.draw();
    try {
      const settled = await act();
      this.told = message("success", html`${done} ${lostView(settled.left)} ${leftView(settled)}`);
    } catch (error) {
      this.told =
        error instanceof Stopped ? message("info", error.message) : message("error", asSentence(error));
    }
    this.work = null;
    this.isTakingBack = false;
    this.draw();
    await this.look();
    this.panel.querySelector<HTMLElement>("fluent-button, #settled")?.focus();
  }

  private finish({ id, told }: Unfinished): Promise<void> {
    const work = new Work(() => this.draw());
    this.work = work;
    return this.settle(`${told} is finished.`, async () =>
      (await import("../../workbook/unfinished")).finishWork(id, work),
    );
  }

  private takeBack({ id, told }: Unfinished): Promise<void> {
    this.isTakingBack = true;
    return this.settle(`${told} is taken back.`, async () =>
      (await import("../../workbook/unfinished")).takeBackWork(id),
    );
  }

  private async leave({ id }: Unfinished): Promise<void> {
    await leaveWork(id).catch(() => undefined);
    await this.look();
  }

  private offer(one: Unfinished) {
    const { told, canFinish, canTakeBack, lost } = one;
    const button = (label: string, act: () => Promise<void>) =>
      html`<fluent-button size="small" @click=${() => void act()}>${label}</fluent-button>`;
    return message(
      "warning",
      html`
        ${told} stopped part of the way: some of it is in this workbook and some is not.
        ${canFinish || canTakeBack ? nothing : "Look over what is there, then choose Leave it as it is."}
        ${lostView(lost)}
      `,
      html`
        ${canFinish ? button("Finish it", () => this.finish(one)) : nothing}
        ${canTakeBack ? button("Take it back", () => this.takeBack(one)) : nothing}
        ${button("Leave it as it is", () => this.leave(one))}
      `,
    );
  }

  private draw(): void {
    const { work, works, told, isTakingBack } = this;
    const now = isTakingBack
      ? html`<p role="status">Taking it back</p>`
      : work === null
        ? works.map((one) => this.offer(one))
        : progressView(work);
    render(
      html`${now}
        <div id="settled" tabindex="-1">${told}</div>`,
      this.panel,
    );
  }
}

/** What a careful colleague would catch: the findings over the whole workbook, worst first, kept up to date. */
import { html, nothing, render } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import type { CheckState, Finding, SetAside, Weight } from "../../workbook/checks";
import {
  asideOf,
  LiveChecks,
  placeOfFinding,
  putOnSheet,
  readSetAside,
  setAside,
  takeUp,
  weights,
} from "../../workbook/checks";
import { asSentence, dayOf, qualified, showCell } from "../../workbook/host";
import { cautionView } from "../parts/caution";
import type { Intent } from "../parts/message";
import { message } from "../parts/message";
import { progressView } from "../parts/progress";
import type { Room } from "../room";
import { counted, countText } from "../words";
import { Looking } from "./checks/looking";
import type { Reason } from "./checks/reason";
import { reasonView } from "./checks/reason";

const inOrder = Object.keys(weights) as readonly Weight[];

/** More findings of one weight than this help nobody; the count tells the rest. */
const mostListed = 100;

const keyOf = ({ check, sheet, address }: Finding): string => `${check.id}\n${sheet}\n${address}`;

interface Told {
  readonly intent: Intent;
  readonly sentence: string;
}

export class ChecksRoom implements Room {
  private readonly live: LiveChecks;
  private state: CheckState | null = null;
  private aside: readonly SetAside[] = [];
  private work: Looking | null = null;
  private told: Told | null = null;
  /** The finding whose reason is being written. */
  private writing: (Reason & { readonly key: string }) | null = null;

  constructor(private readonly panel: HTMLElement) {
    this.live = new LiveChecks(
      (isWhole) => {
        const work = new Looking(() => this.draw());
        // What a person waits for shows how far it is; what follows their typing stays out of the way.
        if (isWhole) this.work = work;
        return work;
      },
      (state) => void this.checked(state),
    );
    this.draw();
  }

  shown(): void {
    if (this.state === null && this.work === null) void this.live.start();
    else this.draw();
  }

  private async checked(state: CheckState): Promise<void> {
    this.work = null;
    this.state = state;
    try {
      this.aside = await readSetAside();
    } catch (error) {
      this.told = { intent: "error", sentence: asSentence(error) };
    }
    this.draw();
  }

  /** Does something in the workbook and says how it went. */
  private async attempt(work: () => Promise<string | null>): Promise<boolean> {
    try {
      const sentence = await work();
      this.told = sentence === null ? null : { intent: "success", sentence };
      this.draw();
      return true;
    } catch (error) {
      this.told = { intent: "error", sentence: asSentence(error) };
      this.draw();
      return false;
    }
  }

  private focusOn(selector: string): void {
    this.panel.querySelector<HTMLElement>(selector)?.focus();
  }

  private show({ sheet, address }: Finding): Promise<boolean> {
    return this.attempt(async () => {
      await showCell({ sheet, address });
      return null;
    });
  }

  private async keepAside(finding: Finding): Promise<void> {
    const { writing } = this;
    if (writing === null) return;
    try {
      this.aside = await setAside(finding, writing.reason, dayOf(new Date()));
      this.writing = null;
      this.told = { intent: "success", sentence: `${qualified(finding)} is set aside.` };
      this.draw();
      this.focusOn("#open-findings");
    } catch (error) {
      this.writing = { ...writing, trouble: asSentence(error) };
      this.draw();
      this.focusOn("#reason");
    }
  }

  private async takeUp(finding: Finding): Promise<void> {
    const isDone = await this.attempt(async () => {
      this.aside = await takeUp(placeOfFinding(finding));
      return `${qualified(finding)} is taken up again.`;
    });
    if (isDone) this.focusOn("#open-findings");
  }

  private async list(findings: readonly Finding[]): Promise<void> {
    await this.attempt(async () => {
      const name = await putOnSheet(findings, this.aside, dayOf(new Date()));
      return `The list is on the new sheet ${name}.`;
    });
    this.focusOn("#list-checks");
  }

  private draw(): void {
    render(
      html`
        <h2>Checks</h2>
        ${this.told === null ? nothing : message(this.told.intent, this.told.sentence)} ${this.workView()}
        ${this.work !== null && this.state?.kind !== "checked" ? nothing : this.stateView()}
      `,
      this.panel,
    );
  }

  /** What was found stays in place while it is looked for anew: nobody loses the line they are on. */
  private workView() {
    const { work, state } = this;
    if (work === null || (state?.kind === "checked" && !work.isLong)) return nothing;
    return progressView(work);
  }

  private againButton(label = "Check the workbook") {
    return html`
      <fluent-button id="check-again" size="small" @click=${() => void this.live.start()}
        >${label}</fluent-button
      >
    `;
  }

  private stateView() {
    const { state } = this;
    if (state === null) return html`<p class="quiet" role="status">Reading the workbook…</p>`;
    if (state.kind === "trouble") return message("error", state.sentence, this.againButton("Check again"));
    if (state.kind === "stopped") {
      return message("info", "Stopped: nothing in the workbook was changed.", this.againButton());
    }
    return this.findingsView(state.findings, state.isBehind);
  }

  private behindView() {
    return message(
      "info",
      "Calculation is manual in this workbook: this list is as of the last one, and cells were changed since.",
      html`
        <fluent-button id="calculate" size="small" @click=${() => void this.live.calculate()}
          >Calculate and look again</fluent-button
        >
      `,
    );
  }

  private findingsView(findings: readonly Finding[], isBehind: boolean) {
    const open = findings.filter((finding) => asideOf(finding, this.aside) === undefined);
    const put = findings.filter((finding) => asideOf(finding, this.aside) !== undefined);
    const follows = isBehind ? "" : " This list follows your changes.";
    return html`
      ${isBehind ? this.behindView() : nothing}
      <p id="open-findings" role="status" tabindex="-1">
        ${
          open.length === 0
            ? `Nothing to point out.${follows}`
            : `${counted(open.length, "thing")} to look at, worst first.${follows}`
        }
      </p>
      ${inOrder.map((weight) => {
        const these = open.filter(({ check }) => check.weight === weight);
        return these.length === 0 ? nothing : this.groupView(weights[weight], these);
      })}
      ${put.length === 0 ? nothing : this.asideView(put)}
      <div class="more put">
        <fluent-button id="list-checks" size="small" @click=${() => void this.list(findings)}>
          Put the list on a sheet
        </fluent-button>
        ${this.againButton("Check all again")}
      </div>
      ${open.some(({ check }) => check.weight === "rule") ? cautionView("pesticide") : nothing}
    `;
  }

  private groupView(title: string, findings: readonly Finding[]) {
    return html`
      <h3>${title} <span class="count">${countText(findings.length)}</span></h3>
      <ul class="findings">
        ${repeat(findings.slice(0, mostListed), keyOf, (finding) => this.findingView(finding))}
      </ul>
      ${
        findings.length > mostListed
          ? html`<p class="quiet">
              and ${countText(findings.length - mostListed)} more; the list on a sheet has them all.
            </p>`
          : nothing
      }
    `;
  }

  private cellButton(finding: Finding) {
    const place = qualified(finding);
    return html`
      <fluent-button size="small" @click=${() => void this.show(finding)}>Go to ${place}</fluent-button>
    `;
  }

  private findingView(finding: Finding) {
    const { check, sentence, todo } = finding;
    const key = keyOf(finding);
    const isWriting = this.writing?.key === key;
    return html`
      <li>
        <h4>${check.title}</h4>
        <p>${sentence}</p>
        <p class="hint">${todo}</p>
        <details>
          <summary>Source</summary>
          <p>${check.source}</p>
        </details>
        <div class="actions">
          ${this.cellButton(finding)}
          ${
            isWriting
              ? nothing
              : html`<button
                  type="button"
                  class="plain"
                  aria-label=${`Set aside: ${check.title}, ${qualified(finding)}`}
                  @click=${() => {
                    this.writing = { key, reason: "" };
                    this.draw();
                    this.focusOn("#reason");
                  }}
                >
                  Set aside
                </button>`
          }
        </div>
        ${isWriting ? this.reasonView(finding) : nothing}
      </li>
    `;
  }

  private reasonView(finding: Finding) {
    const { writing } = this;
    if (writing === null) return nothing;
    return reasonView(writing, {
      onInput: (reason) => {
        this.writing = { key: writing.key, reason };
      },
      keep: () => void this.keepAside(finding),
      leave: () => {
        this.writing = null;
        this.draw();
        this.focusOn("#open-findings");
      },
    });
  }

  private asideView(findings: readonly Finding[]) {
    return html`
      <details>
        <summary>Set aside <span class="count">${countText(findings.length)}</span></summary>
        <ul class="findings">
          ${repeat(findings, keyOf, (finding) => {
            const one = asideOf(finding, this.aside);
            return html`
              <li>
                <h4>${finding.check.title}</h4>
                <p>${finding.sentence}</p>
                <p class="hint">Set aside: ${one?.reason ?? ""}</p>
                <div class="actions">
                  ${this.cellButton(finding)}
                  <button
                    type="button"
                    class="plain"
                    aria-label=${`Take up again: ${finding.check.title}, ${qualified(finding)}`}
                    @click=${() => void this.takeUp(finding)}
                  >
                    Take up again
                  </button>
                </div>
              </li>
            `;
          })}
        </ul>
      </details>
    `;
  }
}

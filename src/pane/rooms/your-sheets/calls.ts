/** Every call of the functions in the workbook: where it stands, what it answers, what is wrong with it. */
import { html, nothing } from "lit-html";
import { quantity } from "../../../engine/working/figures";
import type { CallGroup, SheetCalls } from "../../../workbook/own-sheets";
import { listCalls } from "../../../workbook/own-sheets";
import { asSentence, showCell, Stopped } from "../../../workbook/host";
import { cautionView } from "../../parts/caution";
import type { Intent } from "../../parts/message";
import { message } from "../../parts/message";
import { progressView, Work } from "../../parts/progress";
import { counted, countText, inPlainWords } from "../../words";

/** So many are shown of a sheet before more are asked for. */
const atOnce = 100;

export class CallsPart {
  private sheets: readonly SheetCalls[] | null = null;
  private work: Work | null = null;
  private told: { readonly intent: Intent; readonly sentence: string } | null = null;
  /** How many of a sheet's are shown, where more were asked for. */
  private readonly many = new Map<string, number>();

  constructor(
    private readonly panel: HTMLElement,
    private readonly draw: () => void,
  ) {}

  async look(): Promise<void> {
    if (this.work !== null) return;
    const work = new Work(() => this.draw(), "Stopping");
    this.work = work;
    this.told = null;
    try {
      this.sheets = await listCalls(work);
    } catch (error) {
      this.told =
        error instanceof Stopped
          ? { intent: "info", sentence: "Stopped: not every sheet was looked through." }
          : { intent: "error", sentence: asSentence(error) };
    }
    this.work = null;
    this.draw();
  }

  private async lookAgain(): Promise<void> {
    await this.look();
    this.panel.querySelector<HTMLElement>("#look-again")?.focus();
  }

  private async jump(sheet: string, { first }: CallGroup): Promise<void> {
    try {
      await showCell({ sheet, address: first });
      this.told = null;
    } catch (error) {
      this.told = { intent: "error", sentence: asSentence(error) };
    }
    this.draw();
  }

  private shownOf(sheet: string): number {
    return this.many.get(sheet) ?? atOnce;
  }

  private showMore({ sheet }: SheetCalls, place: number): void {
    const before = this.shownOf(sheet);
    this.many.set(sheet, before + atOnce);
    this.draw();
    this.panel.querySelector<HTMLElement>(`#call-${place}-${before}`)?.focus();
  }

  view() {
    return html`
      <h3>Every call of our functions</h3>
      ${this.work === null ? nothing : progressView(this.work)}
      ${this.told === null ? nothing : message(this.told.intent, this.told.sentence)}
      ${this.sheets === null ? nothing : this.sheetsView(this.sheets)}
      ${
        this.work === null
          ? html`<p>
              <fluent-button id="look-again" size="small" @click=${() => void this.lookAgain()}
                >Look through the workbook again</fluent-button
              >
            </p>`
          : nothing
      }
    `;
  }

  private sheetsView(sheets: readonly SheetCalls[]) {
    if (sheets.length === 0)
      return html`<p role="status">No cell of this workbook holds one of our functions yet.</p>`;
    return html`${sheets.map((sheet, i) => this.sheetView(sheet, i))} ${cautionsOf(sheets)}`;
  }

  private sheetView(found: SheetCalls, place: number) {
    const { sheet, calls } = found;
    const groups = found.groups.filter((group) => !givesNothing(group));
    const idle = found.groups.filter(givesNothing).reduce((sum, { cells }) => sum + cells, 0);
    const shown = this.shownOf(sheet);
    const left = groups.length - shown;
    return html`
      <h4>${sheet} <span class="count">${counted(calls, "call")}${troubleText(found.groups)}</span></h4>
      <ul class="rows">
        ${groups.slice(0, shown).map(
          (group, i) => html`
            <li>
              <button
                type="button"
                class="row"
                id=${`call-${place}-${i}`}
                title=${group.formula}
                @click=${() => void this.jump(sheet, group)}
              >
                <span class="code">${placeText(group)}</span>
                <span class="sentence"
                  >${group.name}
                  <span class=${isWell(group) ? "gives" : "trouble"}>${stateText(group)}</span></span
                >
              </button>
            </li>
          `,
        )}
      </ul>
      ${
        left <= 0
          ? nothing
          : html`<button type="button" class="plain" @click=${() => this.showMore(found, place)}>
              ${`Show ${countText(Math.min(left, atOnce))} more of ${countText(left)} in ${sheet}`}
            </button>`
      }
      ${
        idle === 0
          ? nothing
          : html`<p class="quiet">
              ${`${counted(idle, "cell")} in lines that give 0 or nothing yet, as lines that are not filled in do.`}
            </p>`
      }
    `;
  }
}

const cautionsOf = (sheets: readonly SheetCalls[]) =>
  [
    ...new Set(sheets.flatMap(({ groups }) => groups.flatMap(({ definition }) => definition?.caution ?? []))),
  ].map((caution) => cautionView(caution));

const placeText = ({ address, cells }: CallGroup): string =>
  cells === 1 ? address : `${address}, ${counted(cells, "cell")}`;

const isWell = ({ state: { kind } }: CallGroup): boolean => kind === "answers" || kind === "in a formula";

/** All is well there and nothing is to be seen. */
const givesNothing = (group: CallGroup): boolean =>
  isWell(group) && group.results.every((result) => result === 0 || result === "" || result === null);

function troubleText(groups: readonly CallGroup[]): string {
  const wrong = groups.filter((group) => !isWell(group)).reduce((sum, { cells }) => sum + cells, 0);
  return wrong === 0 ? ", all answer" : `, ${countText(wrong)} to look at`;
}

function resultText({ definition, state, system, results }: CallGroup): string {
  const told = results.map((result) => {
    if (typeof result !== "number") return String(result ?? "nothing");
    const hasUnit = definition !== undefined && state.kind === "answers";
    return hasUnit ? quantity(result, definition.result.kind, system) : countText(result);
  });
  return told.join(" to ");
}

function stateText(group: CallGroup): string {
  const { state, definition } = group;
  switch (state.kind) {
    case "answers":
      return `= ${resultText(group)}`;
    case "in a formula":
      return `in a formula that gives ${resultText(group)}`;
    case "refused":
      return inPlainWords(state.sentence, definition?.parameters ?? []);
    case "no such name":
      return "Shows #NAME?: the workbook does not find the functions. Look whether the add-in is switched on.";
    case "another edition":
      return "A function of another edition: update the add-in to use it.";
    case "not followed":
      return `Cannot be followed: ${state.why}.`;
  }
}

/** The selected cell, taken apart: each of our functions in it with its figures, its working and its native form. */
import { html, nothing, render } from "lit-html";
import type { UnitSystem } from "../../engine/units";
import type { ExplainedArgument, ExplainedCall, ExplainedCell } from "../../workbook/formulas";
import { explainSelectedCell } from "../../workbook/formulas";
import { asSentence, qualified } from "../../workbook/host";
import { sourcesView } from "../parts/background";
import { cautionView } from "../parts/caution";
import { copyView } from "../parts/copy";
import { message } from "../parts/message";
import { resultSize, workingView } from "../parts/working";
import type { Room } from "../room";
import type { SelectionFeed } from "../selection-feed";
import { capitalised, counted, inPlainWords, labelOf, nameOf, shownValue } from "../words";

type Seen = { readonly cell: ExplainedCell } | { readonly trouble: string };

export class ThisCellRoom implements Room {
  private seen: Seen | null = null;
  private asked = 0;

  constructor(
    private readonly panel: HTMLElement,
    feed: SelectionFeed,
  ) {
    feed.listen(() => {
      if (!this.panel.hidden) void this.look();
    });
    this.draw();
  }

  shown(): void {
    void this.look();
  }

  private async look(): Promise<void> {
    const asked = ++this.asked;
    const seen = await explainSelectedCell().then(
      (cell): Seen => ({ cell }),
      (error: unknown): Seen => ({ trouble: asSentence(error) }),
    );
    if (asked !== this.asked) return;
    this.seen = seen;
    this.draw();
  }

  private draw(): void {
    render(
      html`
        <h2 class="heard">This cell</h2>
        ${this.content()}
      `,
      this.panel,
    );
  }

  private content() {
    const { seen } = this;
    if (seen === null) return html`<p class="quiet" role="status">Reading the selected cell…</p>`;
    if ("trouble" in seen) return message("error", seen.trouble, this.againButton());
    const { cell } = seen;
    if (cell.calls.length === 0) {
      return html`
        <p role="status">
          <b>${qualified(cell)}</b> holds none of the functions: select a cell whose formula has one, and its
          working appears here.
        </p>
        ${this.againButton()}
      `;
    }
    return html`
      <p role="status" class="place">
        <b>${qualified(cell)}</b> shows <b>${cell.shown === "" ? "nothing" : cell.shown}</b>${
          cell.calls.length > 1 ? `, from ${counted(cell.calls.length, "function")}` : nothing
        }
      </p>
      <p class="code formula">${cell.formula}</p>
      ${cell.calls.map((call) => callView(call, cell.shown.startsWith("#")))} ${cautionsOf(cell)}
      ${nativeView(cell)} ${this.againButton()}
    `;
  }

  /** A figure edited elsewhere raises no selection event. */
  private againButton() {
    return html`
      <p><fluent-button size="small" @click=${() => void this.look()}>Read the cell again</fluent-button></p>
    `;
  }
}

const systemOf = ({ arguments: given }: ExplainedCall): UnitSystem =>
  given.some(({ parameter, value }) => parameter.id === "units" && String(value).toLowerCase() === "metric")
    ? "metric"
    : "us";

/** Where the cell shows a value all the same, only the working is out of reach: that is no error. */
function callView(call: ExplainedCall, cellFails: boolean) {
  const { definition, outcome } = call;
  const blamed = outcome.kind === "refusal" && cellFails ? outcome.argument : "";
  return html`
    <section class="call">
      <h3 class="code">${nameOf(definition)}</h3>
      <p class="quiet">${definition.sentence}</p>
      ${
        outcome.kind === "answer"
          ? html`
              <p class=${resultSize(outcome.text)}>${outcome.text}</p>
              <h4>Working</h4>
              ${workingView(outcome.working)}
            `
          : message(
              cellFails ? "error" : "info",
              html`${inPlainWords(outcome.sentence, definition.parameters)} ${lookAt(call, blamed)}`,
            )
      }
      ${call.arguments.length === 0 ? nothing : argumentsView(call, blamed)}
      ${
        definition.sources.length === 0
          ? nothing
          : html`
              <details>
                <summary>Sources</summary>
                ${sourcesView(definition)}
              </details>
            `
      }
    </section>
  `;
}

/** Where to put a refusal right: the argument's cell, or the argument itself where it is written in the formula. */
function lookAt({ arguments: given }: ExplainedCall, blamed: string) {
  const argument = given.find(({ parameter }) => parameter.id === blamed);
  if (argument === undefined) return nothing;
  const label = labelOf(argument.parameter);
  return html`<br />Look at: <b>${argument.text === "" ? label : `${label} (${argument.text})`}</b>`;
}

function argumentsView(call: ExplainedCall, blamed: string) {
  const system = systemOf(call);
  return html`
    <h4>Figures it reads</h4>
    <table>
      <thead>
        <tr>
          <th scope="col">Figure</th>
          <th scope="col">From</th>
          <th scope="col" class="value">Value</th>
        </tr>
      </thead>
      <tbody>
        ${call.arguments.map((argument) => argumentView(argument, system, argument.parameter.id === blamed))}
      </tbody>
    </table>
  `;
}

function argumentView(argument: ExplainedArgument, system: UnitSystem, isBlamed: boolean) {
  const { parameter, text, value } = argument;
  return html`
    <tr class=${isBlamed ? "wrong" : nothing}>
      <th scope="row">${labelOf(parameter)}</th>
      <td class="code">${text === "" ? html`<span class="quiet">left out</span>` : text}</td>
      <td class="value">
        ${text === "" ? defaultText(argument, system) : shownValue(value, parameter, system)}
      </td>
    </tr>
  `;
}

function defaultText({ parameter }: ExplainedArgument, system: UnitSystem): string {
  return "default" in parameter && parameter.default !== undefined
    ? shownValue(parameter.default, parameter, system)
    : "–";
}

function cautionsOf({ calls }: ExplainedCell) {
  const found = calls.flatMap(({ definition: { caution } }) => (caution === undefined ? [] : [caution]));
  return [...new Set(found)].map((caution) => cautionView(caution));
}

function nativeView({ native }: ExplainedCell) {
  if (native === null) return nothing;
  if ("why" in native) return html`<p class="quiet">${`No native formula: ${capitalised(native.why)}`}</p>`;
  return html`
    <h3>The same as a native formula</h3>
    <p class="quiet">${["It works without the add-in.", ...native.told].join(" ")}</p>
    ${copyView(native.text, "native formula")}
  `;
}

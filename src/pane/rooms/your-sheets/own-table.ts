/** A table of the estimator's own: what its columns are taken for, and the functions that can be added to it. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import type { UnitSystem } from "../../../engine/units";
import type { Chosen, OwnTable, Proposal, UnderstoodColumn } from "../../../workbook/own-sheets";
import {
  formulaIn,
  previewOf,
  propose,
  readOwnTable,
  understand,
  writeProposals,
} from "../../../workbook/own-sheets";
import type { Progress } from "../../../workbook/host";
import { asSentence, Stopped } from "../../../workbook/host";
import { cautionView } from "../../parts/caution";
import { choiceView, unitChoices } from "../../parts/choice";
import { progressView, Work } from "../../parts/progress";
import { capitalised, counted, nameOf } from "../../words";
import type { Shown, Told, Previewed } from "./own-table-words";
import { toldView, placeText, notProposedView, cautionsOf, whereText } from "./own-table-words";
import { previewView } from "./first-results";

const lookedThrough = 2000;

export class OwnTablePart {
  private shown: Shown | null = null;
  private choices: ReadonlyMap<number, Chosen> = new Map();
  private system: UnitSystem = "us";
  /** What was ticked or unticked, by the function's id; the rest is as it is proposed. */
  private ticks: ReadonlyMap<string, boolean> = new Map();
  private told: Told | null = null;
  private work: Work | null = null;

  constructor(
    private readonly panel: HTMLElement,
    private readonly draw: () => void,
    private readonly written: () => void,
  ) {}

  private focus(selector: string): void {
    this.panel.querySelector<HTMLElement>(selector)?.focus();
  }

  private async during(job: (progress: Progress) => Promise<void>): Promise<void> {
    if (this.work !== null) return;
    const work = new Work(() => this.draw());
    this.work = work;
    this.told = null;
    this.draw();
    try {
      await job(work);
    } catch (error) {
      this.told = error instanceof Stopped ? { stopped: error.message } : { trouble: asSentence(error) };
    }
    this.work = null;
    this.draw();
  }

  private async read(): Promise<void> {
    await this.during(async (progress) => {
      this.shown = null;
      const table = await readOwnTable(progress);
      this.choices = new Map();
      this.ticks = new Map();
      this.system = understand(table).system;
      this.show(table);
    });
    this.focus(this.shown === null ? "#read-table" : "#own-table");
  }

  private show(table: OwnTable): void {
    const understanding = understand(table, this.choices);
    const { proposals, notProposed } = propose(understanding, this.system);
    const withRows = proposals.map((proposal) => ({
      ...proposal,
      rows: previewOf(proposal, table, lookedThrough),
    }));
    this.shown = { table, understanding, proposals: withRows, notProposed };
  }

  private change(table: OwnTable): void {
    this.told = null;
    this.show(table);
    this.draw();
  }

  private choose(table: OwnTable, column: number, chosen: Chosen): void {
    this.choices = new Map([...this.choices, [column, chosen]]);
    this.change(table);
  }

  private isTicked({ definition, covered }: Proposal): boolean {
    return this.ticks.get(definition.id) ?? !covered;
  }

  private async write(shown: Shown): Promise<void> {
    const { table } = shown;
    const functions = this.ticked(shown).map(({ definition }) => definition.id);
    await this.during(async (progress) => {
      const agreed = { table, choices: this.choices, system: this.system, functions };
      const written = await writeProposals(agreed, progress);
      this.told = { written };
      this.shown = null;
      this.written();
    });
    this.focus(this.shown === null ? "#read-table" : "#write-columns");
  }

  private ticked({ proposals }: Shown): readonly Previewed[] {
    return proposals.filter((proposal) => this.isTicked(proposal));
  }

  view() {
    return html`
      <h3>Add functions to a table of yours</h3>
      <p>
        Select a heading of the table in your sheet, or the whole table, and read it. Nothing is written until
        you say so.
      </p>
      <fluent-button
        id="read-table"
        appearance=${this.shown === null ? "primary" : "secondary"}
        @click=${() => void this.read()}
      >
        ${this.shown === null ? "Read the table" : "Read another table"}
      </fluent-button>
      ${this.work === null ? nothing : progressView(this.work)}
      ${this.shown === null ? nothing : this.shownView(this.shown)}
      ${this.told === null ? nothing : toldView(this.told)}
    `;
  }

  private shownView(shown: Shown) {
    const { table, understanding } = shown;
    return html`
      <h4 id="own-table" tabindex="-1">${placeText(table)}</h4>
      ${understanding.notes.map((note) => html`<p class="hint">${note}</p>`)}
      <ul class="rows columns">
        ${understanding.columns.map((column) => this.columnView(table, column))}
      </ul>
      ${choiceView<UnitSystem>({
        id: "own-units",
        label: "Units of the functions",
        options: unitChoices,
        chosen: this.system,
        onChange: (system) => {
          this.system = system;
          this.change(table);
        },
      })}
      ${this.proposalsView(shown)} ${notProposedView(shown)}
    `;
  }

  private columnView(table: OwnTable, column: UnderstoodColumn) {
    const { meaning, unit, choices, why } = column;
    const id = `column-${column.column}`;
    return html`
      <li class=${column.unsure === true ? "column wrong" : "column"}>
        <b>${column.heading}</b>
        <div class="selects">
          <select
            id=${id}
            aria-label=${`What ${column.heading} is taken for`}
            aria-describedby=${`${id}-why`}
            @change=${({ currentTarget }: Event) =>
              this.choose(table, column.column, { meaning: (currentTarget as HTMLSelectElement).value })}
          >
            <option value="" .selected=${live(meaning === undefined)}>left out</option>
            ${choices.meanings.map(
              (one) => html`<option value=${one.id} .selected=${live(one === meaning)}>${one.name}</option>`,
            )}
          </select>
          ${meaning === undefined || choices.units.length === 0 ? nothing : this.unitView(table, column, id)}
        </div>
        <p id=${`${id}-why`} class=${column.unsure === true ? "trouble" : "hint"}>${why}</p>
        ${
          unit !== undefined && unit.size === null && unit.dimension !== "temperature"
            ? html`<p class="hint">${capitalised(unit.name)} cannot be converted here.</p>`
            : nothing
        }
      </li>
    `;
  }

  private unitView(table: OwnTable, column: UnderstoodColumn, id: string) {
    const { unit, meaning, choices } = column;
    const known = choices.units.some(({ name }) => name === unit?.name);
    const before = this.choices.get(column.column);
    return html`
      <select
        id=${`${id}-unit`}
        aria-label=${`Unit of ${column.heading}`}
        @change=${({ currentTarget }: Event) =>
          this.choose(table, column.column, {
            ...(before?.meaning === undefined ? {} : { meaning: meaning?.id ?? "" }),
            unit: (currentTarget as HTMLSelectElement).value,
          })}
      >
        ${
          known
            ? nothing
            : html`<option value="" .selected=${live(true)}>
                ${unit?.name ?? (column.unsure === true ? "choose…" : "unit not stated")}
              </option>`
        }
        ${choices.units.map(
          ({ name }) => html`<option value=${name} .selected=${live(name === unit?.name)}>${name}</option>`,
        )}
      </select>
    `;
  }

  private proposalsView(shown: Shown) {
    const { proposals, table } = shown;
    if (proposals.length === 0) {
      return html`<p role="status">
        These columns do not make up what a function needs yet: say what a column is, or see below what is
        missing.
      </p>`;
    }
    const ticked = this.ticked(shown);
    return html`
      <fieldset class="sheets" ?disabled=${this.work !== null}>
        <legend>What can be added</legend>
        ${proposals.map((proposal) => this.proposalView(shown, proposal))}
      </fieldset>
      ${cautionsOf(ticked).map((caution) => cautionView(caution))}
      <p role="status" class="hint">${whereText(table, ticked)}</p>
      <fluent-button
        id="write-columns"
        appearance="primary"
        ?disabled=${this.work !== null || ticked.length === 0}
        @click=${() => void this.write(shown)}
      >
        ${ticked.length === 1 ? "Write the column" : `Write ${counted(ticked.length, "column")}`}
      </fluent-button>
    `;
  }

  private proposalView({ table }: Shown, proposal: Previewed) {
    const { definition, heading, notes, rows } = proposal;
    const isTicked = this.isTicked(proposal);
    return html`
      <fluent-field class="sheet" label-position="after">
        <label slot="label" for=${`add-${definition.id}`}>
          <span>${heading} <span class="state code">${nameOf(definition)}</span></span>
        </label>
        <fluent-checkbox
          slot="input"
          id=${`add-${definition.id}`}
          .checked=${live(isTicked)}
          @change=${({ currentTarget }: Event) => {
            const isIn = (currentTarget as HTMLInputElement).checked;
            this.ticks = new Map([...this.ticks, [definition.id, isIn]]);
            this.draw();
          }}
        ></fluent-checkbox>
      </fluent-field>
      ${
        isTicked
          ? html`
              <div class="proposal">
                <p class="code formula">${formulaIn(proposal, table, rows[0]?.row ?? table.headingRow)}</p>
                ${notes.map((note) => html`<p class="hint">${note}</p>`)}
                ${previewView(table, proposal, rows)}
              </div>
            `
          : nothing
      }
    `;
  }
}

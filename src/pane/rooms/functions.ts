/** The functions of the add-in: found by a word, tried out in a form, put into a cell. */
import { html, nothing, render } from "lit-html";
import { keyed } from "lit-html/directives/keyed.js";
import type { WorksheetFunction } from "../../engine/formula";
import { givesOneValue, unitsPosition } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { isOptional, isRepeating, parameterUnit, unitsParameter } from "../../engine/parameters";
import type { UnitSystem } from "../../engine/units";
import type { Place } from "../../workbook/host";
import { asSentence, qualified, Stopped } from "../../workbook/host";
import { putInSelectedCell } from "../../workbook/own-sheets";
import type { Behind, Form, Preview, Reading } from "../form-model";
import { formulaOf, previewOf, readForm, referencesOf, referenceToItself } from "../form-model";
import { backgroundView } from "../parts/background";
import { cautionView } from "../parts/caution";
import { choiceView, unitChoices } from "../parts/choice";
import { fieldView } from "../parts/field";
import type { Intent } from "../parts/message";
import { Work } from "../parts/progress";
import type { Room } from "../room";
import type { SelectionFeed } from "../selection-feed";
import { holdsText, readBehind } from "./functions/behind";
import { listView } from "./functions/list";
import { outcomeView } from "./functions/outcome";
import type { Occupied, Told } from "./functions/put";
import { putView } from "./functions/put";
import { capitalised, hintOf, labelOf, nameOf, placeholderOf } from "../words";

/** Typing is let finish before the workbook is asked what stands behind a reference. */
const typingPause = 250;
/** Work that is done sooner needs no progress, in milliseconds. */
const untilShown = 300;

const samePlace = (a: Place, b: Place): boolean => a.sheet === b.sheet && a.address === b.address;

/** The first cell of a selection: the one that a formula goes into. */
const firstCell = ({ sheet, address }: Place): Place => ({
  sheet,
  address: address.split(":")[0] ?? address,
});

export class FunctionsRoom implements Room {
  private query = "";
  private open: WorksheetFunction | null = null;
  private system: UnitSystem = "us";
  private readonly forms = new Map<string, Form>();
  private behind: ReadonlyMap<string, Behind> = new Map();
  private timer: ReturnType<typeof setTimeout> | undefined;
  /** Sentences of the last try to put the formula in a cell, until the field is changed. */
  private refused: ReadonlyMap<string, string> = new Map();
  private told: Told | null = null;
  private occupied: Occupied | null = null;
  private work: Work | null = null;

  constructor(
    private readonly panel: HTMLElement,
    private readonly feed: SelectionFeed,
  ) {
    panel.addEventListener("keydown", (event) => this.onKey(event));
    feed.listen((selected) => {
      if (this.occupied !== null && "place" in selected && !this.goesInto(this.occupied.place))
        this.occupied = null;
      if (this.open !== null) void this.readBehind(true);
      else this.draw();
    });
    this.draw();
  }

  shown(): void {
    if (this.open !== null) void this.readBehind(true);
  }

  private get form(): Form {
    return this.forms.get(this.open?.id ?? "") ?? { system: this.system, texts: {} };
  }

  private get target(): Place | null {
    const { selected } = this.feed;
    return selected !== null && "place" in selected ? firstCell(selected.place) : null;
  }

  private goesInto(place: Place): boolean {
    return this.target !== null && samePlace(this.target, place);
  }

  private onKey(event: KeyboardEvent): void {
    if (event.key !== "Escape") return;
    if (this.occupied !== null) this.keep();
    else if (this.open !== null) this.close();
    else if (this.query !== "") {
      this.query = "";
      this.draw();
    } else return;
    event.preventDefault();
  }

  private openFunction(definition: WorksheetFunction): void {
    this.open = definition;
    this.told = null;
    this.refused = new Map();
    this.draw();
    this.panel.querySelector<HTMLElement>("h3")?.focus();
    window.scrollTo(0, 0);
    void this.readBehind(true);
  }

  private close(): void {
    const id = this.open?.id ?? "";
    this.open = null;
    this.occupied = null;
    this.draw();
    this.panel.querySelector<HTMLElement>(`#open-${id}`)?.focus();
  }

  private change(form: Partial<Form>): void {
    if (this.open === null) return;
    this.forms.set(this.open.id, { ...this.form, ...form });
    this.told = null;
    this.occupied = null;
    this.draw();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.readBehind(false), typingPause);
  }

  private type({ id }: Parameter, text: string): void {
    this.refused = new Map([...this.refused].filter(([refused]) => refused !== id));
    this.change({ texts: { ...this.form.texts, [id]: text } });
  }

  private async useSelection(parameter: Parameter): Promise<void> {
    const selected = await this.feed.refresh();
    if ("trouble" in selected) return this.tell("error", selected.trouble);
    const reference = qualified(selected.place);
    const before = (this.form.texts[parameter.id] ?? "").trim();
    this.type(parameter, isRepeating(parameter) && before !== "" ? `${before}; ${reference}` : reference);
    this.fieldElement(parameter.id)?.focus();
  }

  private fieldElement(id: string): HTMLElement | null {
    return this.panel.querySelector<HTMLElement>(`#field-${id}`);
  }

  /** Asks the workbook for what stands behind the references; known ones again only when cells may have changed. */
  private async readBehind(again: boolean): Promise<void> {
    const { open } = this;
    if (open === null) return;
    const wanted = [...new Set(readForm(open, this.form).flatMap(referencesOf))];
    this.behind = await readBehind(wanted, again ? new Map<string, Behind>() : this.behind);
    this.draw();
  }

  private tell(intent: Intent, sentence: string): void {
    this.told = { intent, sentence };
    this.draw();
  }

  private async put(): Promise<void> {
    const { open } = this;
    if (open === null) return;
    // What became of the last formula says nothing of this one.
    this.told = null;
    this.draw();
    const readings = readForm(open, this.form);
    const written = formulaOf(open, readings);
    if ("troubles" in written) {
      this.refused = new Map(written.troubles.map(({ id, sentence }) => [id, sentence]));
      this.draw();
      this.fieldElement(written.troubles[0]?.id ?? "")?.focus();
      return;
    }
    const selected = await this.feed.refresh();
    if ("trouble" in selected) return this.tell("error", selected.trouble);
    const target = firstCell(selected.place);
    const itself = referenceToItself(readings, target);
    if (itself !== undefined) {
      return this.tell(
        "error",
        `${qualified(target)} is one of the figures (${itself}): select the cell that is to hold the result, then put it in.`,
      );
    }
    await this.write(written.formula, false);
  }

  private async write(formula: string, overwrite: boolean): Promise<void> {
    this.occupied = null;
    const work = new Work(() => this.draw());
    // Mostly it is done at once; in a long table all of its column is looked at.
    const lasts = setTimeout(() => {
      this.work = work;
      this.draw();
    }, untilShown);
    try {
      const outcome = await putInSelectedCell(formula, work, { overwrite });
      if (outcome.kind === "occupied") {
        this.occupied = { place: outcome, holds: outcome.holds, formula };
        this.draw();
        this.panel.querySelector<HTMLElement>("#keep")?.focus();
        return;
      }
      this.tell(
        "success",
        `${qualified(outcome.at)} holds ${outcome.at.formula} now. One undo in the workbook takes it back.`,
      );
    } catch (error) {
      if (error instanceof Stopped) this.tell("info", error.message);
      else this.tell("error", asSentence(error));
    } finally {
      clearTimeout(lasts);
      this.work = null;
      this.draw();
    }
  }

  /** The person agreed to overwrite one cell: if another is selected by now, that one is asked about anew. */
  private async overwrite({ place, formula }: Occupied): Promise<void> {
    await this.feed.refresh();
    await this.write(formula, this.goesInto(place));
    this.panel.querySelector<HTMLElement>(this.occupied === null ? "#put" : "#keep")?.focus();
  }

  private keep(): void {
    this.occupied = null;
    this.draw();
    this.panel.querySelector<HTMLElement>("#put")?.focus();
  }

  private draw(): void {
    render(
      this.open === null ? this.listView() : keyed(this.open.id, this.detailView(this.open)),
      this.panel,
    );
  }

  private listView() {
    return listView(
      this.query,
      (query) => {
        this.query = query;
        this.draw();
      },
      (definition) => this.openFunction(definition),
    );
  }

  private detailView(definition: WorksheetFunction) {
    const readings = readForm(definition, this.form);
    const preview = previewOf(definition, readings, this.behind);
    const hasUnits = unitsPosition(definition) >= 0;
    return html`
      <h2 class="heard">Functions</h2>
      <button type="button" class="plain back" @click=${() => this.close()}>‹ All functions</button>
      <h3 tabindex="-1" class="code">${nameOf(definition)}</h3>
      <p>${definition.sentence}</p>
      <p class="equation">${`${capitalised(definition.result.name)} = ${definition.equation}`}</p>
      ${definition.caution === undefined ? nothing : cautionView(definition.caution)}
      <form
        @submit=${(event: Event) => {
          event.preventDefault();
        }}
      >
        ${
          hasUnits
            ? choiceView<UnitSystem>({
                id: "units",
                label: "Units",
                options: unitChoices,
                chosen: this.form.system,
                onChange: (system) => {
                  this.system = system;
                  this.change({ system });
                },
              })
            : nothing
        }
        ${definition.parameters.map((parameter, i) =>
          parameter === unitsParameter ? nothing : this.fieldFor(parameter, readings[i], preview),
        )}
      </form>
      ${
        givesOneValue(definition)
          ? nothing
          : html`<p class="hint">
              The answer fills several cells: leave the cells below and to the right of it empty.
            </p>`
      }
      ${outcomeView(definition, preview.outcome, readings)} ${this.putView()} ${backgroundView(definition)}
    `;
  }

  private fieldFor(parameter: Parameter, reading: Reading | undefined, { troubles }: Preview) {
    const references = reading === undefined ? [] : referencesOf(reading);
    const trouble = troubles.get(parameter.id) ?? this.refused.get(parameter.id);
    return fieldView({
      id: `field-${parameter.id}`,
      label: labelOf(parameter),
      text: this.form.texts[parameter.id] ?? "",
      onInput: (text) => this.type(parameter, text),
      unit: parameterUnit(parameter, this.form.system),
      hint: hintOf(parameter),
      placeholder: placeholderOf(parameter),
      isOptional: isOptional(parameter),
      holds: holdsText(parameter, references, this.behind, this.form.system),
      trouble,
      ...(parameter.takes === "text" && parameter.choices !== undefined
        ? { choices: parameter.choices }
        : {}),
      useSelection: () => void this.useSelection(parameter),
    });
  }

  private putView() {
    const { target, occupied, told, work } = this;
    return putView(
      { target, occupied, told, work },
      {
        put: () => void this.put(),
        overwrite: (occupied) => void this.overwrite(occupied),
        keep: () => this.keep(),
      },
    );
  }
}

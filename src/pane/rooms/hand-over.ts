/** Hands the workbook over: to those who have no add-in, and to those who are to see only part of it. */
import { html, nothing, render } from "lit-html";
import type {
  HandOverWay,
  PageWanted,
  ReaderId,
  ReaderSheets,
  SheetState,
  WayId,
} from "../../workbook/handover";
import {
  bringBack,
  costsSeen,
  editsSinceHandOver,
  handOver,
  handOverCopy,
  handToReader,
  isFormulasWay,
  isReader,
  pagesFor,
  readerSheets,
  sheetStates,
  valuesBeside,
  ways,
} from "../../workbook/handover";
import type { Progress } from "../../workbook/host";
import { asSentence, givesFile, Stopped } from "../../workbook/host";
import { repairCalls } from "../../workbook/own-sheets";
import { choiceView } from "../parts/choice";
import { message } from "../parts/message";
import { progressView, Work } from "../parts/progress";
import type { Room } from "../room";
import type { Holds } from "./hand-over/choices";
import { choices, fileHolds, holdsOptions, seesCosts } from "./hand-over/choices";
import type { Ended } from "./hand-over/ended";
import { endedView } from "./hand-over/ended";
import { moreView } from "./hand-over/more";
import type { Where } from "./hand-over/where";
import { whereView } from "./hand-over/where";
import type { SheetLine } from "./hand-over/sheet-list";
import { checkbox, lineView, sheetLines } from "./hand-over/sheet-list";

const noFile =
  "Excel does not give this workbook's file to the pane here, so no file can be made: add the values on new sheets, and move those to a workbook of their own.";

export class HandOverRoom implements Room {
  private sheets: readonly SheetState[] | null = null;
  private known: ReaderSheets = { sheets: [], bid: undefined };
  private choice: WayId = "native formulas";
  /** What the person ticked or took out, beside what the choice brings with it. */
  private readonly ticks = new Map<string, boolean>();
  private where: Where = givesFile() ? "copy" : "here";
  private holds: Holds = "values";
  private withWorking = false;
  private work: Work | null = null;
  private ended: Ended | null = null;
  private asked = 0;
  /** Done once the sheets were looked at since the room was opened: what is handed over is decided by them. */
  private looked: Promise<void> = Promise.resolve();

  constructor(private readonly panel: HTMLElement) {
    this.draw();
  }

  shown(): void {
    if (this.work === null) this.looked = this.look();
  }

  private async look(): Promise<void> {
    const asked = ++this.asked;
    try {
      const [sheets, known] = [await sheetStates(), await readerSheets()];
      if (asked === this.asked) {
        this.sheets = sheets;
        this.known = known;
      }
    } catch (error) {
      this.ended = { trouble: asSentence(error) };
    }
    this.draw();
  }

  private get lines(): readonly SheetLine[] {
    return sheetLines(this.sheets ?? [], this.choice, this.known, this.ticks);
  }

  private get ticked(): readonly string[] {
    return this.lines.flatMap(({ name, isTicked }) => (isTicked ? [name] : []));
  }

  private chosen(worth: (state: SheetState) => number): readonly string[] {
    const { ticked } = this;
    return (this.sheets ?? [])
      .filter((state) => ticked.includes(state.name) && worth(state) > 0)
      .map(({ name }) => name);
  }

  private async run(
    id: string,
    names: readonly string[],
    missing: string,
    job: (names: string[], progress: Progress) => Promise<Ended>,
  ): Promise<void> {
    if (names.length > 0) return this.working(id, (progress) => job([...names], progress));
    this.ended = { missing };
    this.draw();
  }

  private async working(id: string, job: (progress: Progress) => Promise<Ended>): Promise<void> {
    if (this.work !== null) return;
    const work = new Work(() => this.draw());
    this.work = work;
    this.ended = null;
    this.draw();
    try {
      this.ended = await job(work);
    } catch (error) {
      this.ended = error instanceof Stopped ? { stopped: error.message } : { trouble: asSentence(error) };
    }
    this.work = null;
    await this.look();
    this.panel.querySelector<HTMLElement>(`#${id}`)?.focus();
  }

  private async handOver(): Promise<void> {
    await this.looked;
    const { choice } = this;
    if (isFormulasWay(choice))
      return this.run(
        "hand-over",
        this.chosen(({ calls }) => calls),
        "None of the sheets that are ticked holds our functions: tick one that does.",
        (names, progress) => this.toOffice(choice, names, progress),
      );
    return this.run(
      "hand-over",
      this.ticked,
      "No sheet is ticked: tick at least one.",
      async (names, progress) =>
        isReader(choice)
          ? this.toReader(choice, names, progress)
          : { beside: await valuesBeside(names, this.withWorking, progress) },
    );
  }

  private async toOffice(way: HandOverWay, sheets: readonly string[], progress: Progress): Promise<Ended> {
    if (this.where === "here") return { handedOver: await handOver(sheets, progress, way) };
    const options = { sheets, mode: way, withoutOurOwn: true, withList: true } as const;
    return { copied: await handOverCopy(options, progress) };
  }

  private async toReader(reader: ReaderId, names: readonly string[], progress: Progress): Promise<Ended> {
    const made = await handToReader(
      {
        pages: pagesFor(reader, names, this.known),
        holds: this.heldBy(reader),
        drawings: ways[reader].drawings,
        withWorking: this.isWithWorking(reader),
      },
      progress,
    );
    return { forReader: made, name: ways[reader].fileName };
  }

  /** Only what holds values goes with its working: in formulas it would not follow them. */
  private isWithWorking(reader: ReaderId): boolean {
    return this.mayHoldWorking(reader) && this.withWorking;
  }

  private mayHoldWorking(reader: ReaderId): boolean {
    return ways[reader].mayHoldWorking && this.heldBy(reader) === "values";
  }

  private heldBy(reader: ReaderId): Holds {
    return ways[reader].mayHoldFormulas ? this.holds : "values";
  }

  private async bringBack(editedToo = false): Promise<void> {
    await this.looked;
    const handedOver = (this.sheets ?? []).filter((state) => state.handedOver > 0).map(({ name }) => name);
    return this.run(
      "bring-back",
      isFormulasWay(this.choice) ? this.chosen((state) => state.handedOver) : handedOver,
      "None of the sheets that are ticked was handed over: tick one that was.",
      async (names, progress) => ({ broughtBack: await bringBack(names, progress, { editedToo }) }),
    );
  }

  private tick(name: string, isIn: boolean): void {
    this.ticks.set(name, isIn);
    this.draw();
  }

  private choose(choice: WayId): void {
    this.choice = choice;
    this.ticks.clear();
    this.ended = null;
    this.draw();
  }

  private draw(): void {
    const { work, ended, choice } = this;
    render(
      html`
        <h2>Hand the workbook over</h2>
        <p>To those who have no add-in, and to those who are to see only part of it.</p>
        ${choiceView<WayId>({
          id: "for",
          label: "For whom",
          options: choices,
          chosen: choice,
          stacked: true,
          onChange: (chosen) => this.choose(chosen),
        })}
        <p class="hint">${ways[choice].told}</p>
        ${this.sheetsView()} ${this.optionsView()}
        ${
          work === null
            ? html`
                <div class="stacked">
                  <fluent-button id="hand-over" appearance="primary" @click=${() => void this.handOver()}>
                    ${ways[choice].button}
                  </fluent-button>
                </div>
              `
            : progressView(work)
        }
        ${ended === null ? nothing : endedView(ended)} ${this.editedView()}
        ${work === null ? this.moreView() : nothing}
      `,
      this.panel,
    );
  }

  /** Cells that someone edited keep the edit, unless the person says otherwise. */
  private editedView() {
    const { ended } = this;
    if (ended === null || !("broughtBack" in ended) || ended.broughtBack.changed.length === 0) return nothing;
    return html`
      <fluent-button id="bring-back-edited" size="small" @click=${() => void this.bringBack(true)}>
        Put the functions back there too
      </fluent-button>
    `;
  }

  private optionsView() {
    const { choice } = this;
    if (isFormulasWay(choice))
      return whereView(this.where, (where) => {
        this.where = where;
        this.draw();
      });
    if (!isReader(choice)) return this.workingView();
    if (!givesFile()) return message("warning", noFile);
    const costs = costsSeen(choice, this.ticked, this.known);
    return html`
      ${ways[choice].mayHoldFormulas ? this.holdsView() : nothing}
      ${this.mayHoldWorking(choice) ? this.workingView() : nothing}
      ${costs.length === 0 ? nothing : message("warning", seesCosts(costs))}
      ${this.holdsText(choice, pagesFor(choice, this.ticked, this.known))}
    `;
  }

  private workingView() {
    return this.checkbox(
      "with-working",
      "And a sheet that lists every cell of ours with its inputs, working and sources",
      this.withWorking,
      (isIn) => {
        this.withWorking = isIn;
        this.draw();
      },
    );
  }

  private holdsView() {
    return choiceView<Holds>({
      id: "holds",
      label: "What cells hold",
      options: holdsOptions,
      chosen: this.holds,
      stacked: true,
      onChange: (holds) => {
        this.holds = holds;
        this.draw();
      },
    });
  }

  private holdsText(reader: ReaderId, pages: readonly PageWanted[]) {
    const others = (this.sheets ?? []).length - pages.length;
    return pages.length === 0
      ? nothing
      : html`<p id="file-holds" class="hint">
          ${fileHolds(pages, others, this.heldBy(reader), this.isWithWorking(reader))}
        </p>`;
  }

  private moreView() {
    return moreView(
      (this.sheets ?? []).some((state) => state.handedOver > 0),
      {
        bringBack: () => void this.bringBack(),
        seeEdits: () =>
          void this.working("see-edits", async (progress) => ({ edits: await editsSinceHandOver(progress) })),
        repair: () =>
          void this.working("repair", async (progress) => ({ repaired: await repairCalls(progress) })),
      },
    );
  }

  private sheetsView() {
    if (this.sheets === null) return html`<p class="quiet" role="status">Reading the sheets…</p>`;
    return html`
      <fieldset class="sheets" ?disabled=${this.work !== null}>
        <legend>Sheets</legend>
        ${this.lines.map((line, i) =>
          lineView(line, `sheet-${i}`, this.work !== null, (isIn) => this.tick(line.name, isIn)),
        )}
      </fieldset>
    `;
  }

  private checkbox(id: string, label: unknown, isChecked: boolean, onChange: (isIn: boolean) => void) {
    return checkbox({ id, label, isChecked, isDisabled: this.work !== null, onChange });
  }
}

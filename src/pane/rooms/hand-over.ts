/** Turns our functions into native formulas for those who have no add-in, and back. */
import { html, nothing, render } from "lit-html";
import type {
  BringBackReport,
  CellEdit,
  CellNote,
  ChangeKind,
  EditsSince,
  HandOverReport,
  HandOverWay,
  SheetState,
} from "../../workbook/handover";
import { bringBack, editsSinceHandOver, handOver, handOverWays, sheetStates } from "../../workbook/handover";
import { canCopy, handOverCopy } from "../../workbook/handover/copy";
import type { FileCopy } from "../../workbook/handover/file/rewrite-file";
import type { Progress } from "../../workbook/progress";
import { Stopped } from "../../workbook/progress";
import { repairCalls } from "../../workbook/repair";
import { asSentence } from "../../workbook/trouble";
import { choiceView } from "../parts/choice";
import { message } from "../parts/message";
import { progressView, Work } from "../parts/progress";
import { notesView } from "../parts/report";
import type { Room } from "../room";
import { counted } from "../words";

/** What a hand-over in a copy tells: the workbook itself was not touched. */
type CopyReport = Omit<FileCopy, "bytes">;

type Ended =
  | { readonly copied: CopyReport }
  | { readonly handedOver: HandOverReport }
  | { readonly broughtBack: BringBackReport }
  | { readonly edits: EditsSince }
  | { readonly repaired: readonly CellNote[] }
  | { readonly stopped: string }
  | { readonly missing: string }
  | { readonly trouble: string };

const stateText = ({ calls, handedOver }: SheetState): string => {
  const parts = [
    calls > 0 ? `${counted(calls, "cell")} with our functions` : "",
    handedOver > 0 ? `${counted(handedOver, "cell")} handed over` : "",
  ].filter((part) => part !== "");
  return parts.length === 0 ? "none of our functions" : parts.join(", ");
};

/** Values are written into a copy alone: nothing that was worked out is lost here. */
type Mode = HandOverWay | "values";

const modes: Record<Mode, string> = {
  "native formulas": handOverWays["native formulas"].label,
  "short native formulas": handOverWays["short native formulas"].label,
  values: "As values, in a copy",
};

const told: Record<Mode, string> = {
  "native formulas": handOverWays["native formulas"].told,
  "short native formulas": handOverWays["short native formulas"].told,
  values: "Every formula becomes the number it shows, with the same look, for a client.",
};

type Where = "copy" | "here";

const places: Record<Where, string> = {
  copy: "In a copy; this workbook stays as it is",
  here: "In this workbook",
};

const changes: Record<ChangeKind, string> = {
  input: "A figure was changed",
  formula: "A formula was changed",
  "formula overwritten": "A formula was overwritten by a figure",
  emptied: "Emptied",
  "row or sheet deleted": "Deleted with its row, column or sheet",
};

const editNote = ({ sheet, address, kind, old, now }: CellEdit): CellNote => ({
  sheet,
  address,
  formula: `${old === "" ? "nothing" : old} → ${now === "" ? "nothing" : now}`,
  note: `${changes[kind]}.`,
});

const hasSomething = ({ calls, handedOver }: SheetState): boolean => calls + handedOver > 0;

export class HandOverRoom implements Room {
  private sheets: readonly SheetState[] | null = null;
  /** Sheets that the person took out: a new sheet is in until then. */
  private readonly leftOut = new Set<string>();
  private mode: Mode = "native formulas";
  private where: Where = canCopy() ? "copy" : "here";
  private work: Work | null = null;
  private ended: Ended | null = null;
  private asked = 0;

  constructor(private readonly panel: HTMLElement) {
    this.draw();
  }

  shown(): void {
    if (this.work === null) void this.look();
  }

  private async look(): Promise<void> {
    const asked = ++this.asked;
    try {
      const sheets = await sheetStates();
      if (asked === this.asked) this.sheets = sheets;
    } catch (error) {
      this.ended = { trouble: asSentence(error) };
    }
    this.draw();
  }

  private chosen(worth: (state: SheetState) => number): readonly string[] {
    return (this.sheets ?? [])
      .filter((state) => !this.leftOut.has(state.name) && worth(state) > 0)
      .map(({ name }) => name);
  }

  private async run(
    id: string,
    names: readonly string[],
    missing: string,
    job: (names: string[], progress: Progress) => Promise<Ended>,
  ): Promise<void> {
    this.ended = names.length === 0 ? { missing } : null;
    if (names.length === 0) return this.draw();
    const work = new Work(() => this.draw());
    this.work = work;
    this.draw();
    try {
      this.ended = await job([...names], work);
    } catch (error) {
      this.ended = error instanceof Stopped ? { stopped: error.message } : { trouble: asSentence(error) };
    }
    this.work = null;
    await this.look();
    this.panel.querySelector<HTMLElement>(`#${id}`)?.focus();
  }

  private handOver(): Promise<void> {
    return this.run(
      "hand-over",
      this.chosen(({ calls }) => calls),
      "None of the sheets that are ticked holds our functions: tick one that does.",
      (names, progress) => this.handedOver(names, progress),
    );
  }

  private async handedOver(sheets: readonly string[], progress: Progress): Promise<Ended> {
    const { mode } = this;
    if (mode !== "values" && this.where === "here") {
      return { handedOver: await handOver(sheets, progress, mode) };
    }
    return { copied: await handOverCopy({ sheets, mode, withoutOurOwn: true }, progress) };
  }

  private bringBack(): Promise<void> {
    return this.run(
      "bring-back",
      this.chosen(({ handedOver }) => handedOver),
      "None of the sheets that are ticked was handed over: tick one that was.",
      async (names, progress) => ({ broughtBack: await bringBack(names, progress) }),
    );
  }

  /** A look or a repair: quick, nothing to stop. */
  private async ask(id: string, question: () => Promise<Ended>): Promise<void> {
    this.ended = await question().catch((error: unknown): Ended => ({ trouble: asSentence(error) }));
    await this.look();
    this.panel.querySelector<HTMLElement>(`#${id}`)?.focus();
  }

  private tick(name: string, isIn: boolean): void {
    if (isIn) this.leftOut.delete(name);
    else this.leftOut.add(name);
    this.draw();
  }

  private draw(): void {
    const { work, ended } = this;
    render(
      html`
        <h2>Hand the workbook over</h2>
        <p>For those who have no add-in: the sheets you tick stop needing it.</p>
        ${this.sheetsView()}
        ${choiceView<Mode>({
          id: "mode",
          label: "Hand over",
          options: modes,
          chosen: this.mode,
          onChange: (mode) => {
            this.mode = mode;
            this.draw();
          },
        })}
        <p class="hint">${told[this.mode]}</p>
        ${this.whereView()}
        ${
          work === null
            ? html`
                <div class="stacked">
                  <fluent-button id="hand-over" appearance="primary" @click=${() => void this.handOver()}>
                    ${this.mode === "values" ? "Hand over as values" : "Hand over as native formulas"}
                  </fluent-button>
                  <fluent-button id="bring-back" @click=${() => void this.bringBack()}>
                    Bring the functions back
                  </fluent-button>
                </div>
              `
            : progressView(work)
        }
        ${ended === null ? nothing : endedView(ended)} ${work === null ? this.moreView() : nothing}
      `,
      this.panel,
    );
  }

  private whereView() {
    if (!canCopy()) {
      return html`<p class="hint">
        Excel cannot open a copy here, so the sheets are converted in this workbook.
      </p>`;
    }
    if (this.mode === "values") return nothing;
    return choiceView<Where>({
      id: "where",
      label: "Where",
      options: places,
      chosen: this.where,
      onChange: (where) => {
        this.where = where;
        this.draw();
      },
    });
  }

  private moreView() {
    const handedOver = (this.sheets ?? []).some((state) => state.handedOver > 0);
    return html`
      ${
        handedOver
          ? html`
              <div class="more">
                <p class="hint">A handed-over workbook that came back from others:</p>
                <fluent-button
                  id="see-edits"
                  size="small"
                  @click=${() => void this.ask("see-edits", async () => ({ edits: await editsSinceHandOver() }))}
                >
                  List what was changed since
                </fluent-button>
              </div>
            `
          : nothing
      }
      <div class="more">
        <p class="hint">Cells of ours that show #NAME?, once the add-in is loaded:</p>
        <fluent-button
          id="repair"
          size="small"
          @click=${() => void this.ask("repair", async () => ({ repaired: await repairCalls() }))}
        >
          Enter them again
        </fluent-button>
      </div>
    `;
  }

  private sheetsView() {
    if (this.sheets === null) return html`<p class="quiet" role="status">Reading the sheets…</p>`;
    return html`
      <fieldset class="sheets" ?disabled=${this.work !== null}>
        <legend>Sheets</legend>
        ${this.sheets.map((state, i) => this.sheetView(state, i))}
      </fieldset>
    `;
  }

  private sheetView(state: SheetState, i: number) {
    if (!hasSomething(state)) {
      return html`<p class="sheet none">
        <span>${state.name}</span> <span class="state">${stateText(state)}</span>
      </p>`;
    }
    return html`
      <fluent-field class="sheet" label-position="after">
        <label slot="label" for=${`sheet-${i}`}>
          <span>${state.name} <span class="state">${stateText(state)}</span></span>
        </label>
        <fluent-checkbox
          slot="input"
          id=${`sheet-${i}`}
          .checked=${!this.leftOut.has(state.name)}
          ?disabled=${this.work !== null}
          @change=${({ currentTarget }: Event) =>
            this.tick(state.name, (currentTarget as HTMLInputElement).checked)}
        ></fluent-checkbox>
      </fluent-field>
    `;
  }
}

function endedView(ended: Ended) {
  if ("trouble" in ended) return message("error", ended.trouble);
  if ("missing" in ended) return message("warning", ended.missing);
  if ("stopped" in ended) return message("info", ended.stopped);
  if ("edits" in ended) return editsView(ended.edits);
  if ("repaired" in ended) return repairedView(ended.repaired);
  if ("copied" in ended) return copiedView(ended.copied);
  return "handedOver" in ended ? handedOverView(ended.handedOver) : broughtBackView(ended.broughtBack);
}

const editsView = ({ edits, missing }: EditsSince) =>
  edits.length === 0
    ? message(
        missing === undefined ? "success" : "warning",
        missing ?? "Nothing was changed since the hand-over.",
      )
    : html`
        ${message("info", `${counted(edits.length, "cell")} changed since the hand-over. ${missing ?? ""}`)}
        ${notesView("Changed since", edits.map(editNote), "contents")}
      `;

const repairedView = (repaired: readonly CellNote[]) =>
  repaired.length === 0
    ? message("success", "No cell of ours shows #NAME?: nothing to enter again.")
    : html`
        ${message("success", `${counted(repaired.length, "cell")} entered again.`)}
        ${notesView("Entered again", repaired, "contents")}
      `;

const copiedView = ({ converted, asValues, limits, unchecked, stopped, left }: CopyReport) => html`
  ${message(
    stopped.length === 0 ? "success" : "warning",
    html`
      A copy is open beside this workbook: ${counted(converted, "cell")} converted in it,
      ${counted(limits, "group")} of input cells given limits. This workbook is as it was.
      ${
        stopped.length === 0
          ? nothing
          : html`Sheets with a cell that cannot be converted are in the copy as they were: see below.`
      }
    `,
  )}
  ${notesView("Stopped the sheet", stopped)} ${notesView("Became values", asValues)}
  ${notesView("No longer checked", unchecked)}
  ${notesView("Outside the cells, left as they were", left, "contents")}
`;

const handedOverView = ({
  converted,
  asValues,
  limits,
  unchecked,
  stopped,
  putBack,
  list,
}: HandOverReport) => html`
  ${message(
    stopped.length + putBack.length === 0 ? "success" : "warning",
    html`
      ${counted(converted, "cell")} converted, ${counted(limits, "group")} of input cells given limits.
      ${list === undefined ? nothing : listView(list)}
      ${
        stopped.length === 0
          ? nothing
          : html`Sheets with a cell that cannot be converted were left as they were: see below.`
      }
      To go back, use “Bring the functions back”: undo takes back only the last part of the work.
    `,
  )}
  ${notesView("Stopped the sheet", stopped)} ${notesView("Have their function still", putBack)}
  ${notesView("Became values", asValues)} ${notesView("No longer checked", unchecked)}
`;

const listView = (list: NonNullable<HandOverReport["list"]>) =>
  "sheet" in list
    ? html`What was typed is listed on the sheet <b>${list.sheet}</b>, which anyone may delete.`
    : html`What was typed could not be listed: ${list.why}`;

const broughtBackView = ({ restored, changed, foreign, notes }: BringBackReport) => html`
  ${message(
    changed.length + foreign.length + notes.length === 0 ? "success" : "warning",
    html`
      ${counted(restored, "cell")} ${restored === 1 ? "has its" : "have their"} function back.
      ${changed.length === 0 ? nothing : "Cells that were edited since were left as they are: see below."}
      ${notes.join(" ")}
    `,
  )}
  ${notesView("Edited since", changed)} ${notesView("Left as they are", foreign)}
`;

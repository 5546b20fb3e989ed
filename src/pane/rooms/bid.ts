/** Writes the sheets of a bid: the site, the materials, the quantities and the price. */
import { html, nothing, render } from "lit-html";
import type { UnitSystem } from "../../engine/units";
import { carryReview, writeBid } from "../../workbook/bid";
import { asSentence, Stopped, WorkbookTrouble } from "../../workbook/host";
import { cautionView } from "../parts/caution";
import { choiceView, unitChoices } from "../parts/choice";
import { fieldView } from "../parts/field";
import { progressView, Work } from "../parts/progress";
import type { Room } from "../room";
import type { Ended } from "./bid/ended";
import { endedView } from "./bid/ended";

type Start = "sample" | "empty";
const starts: Record<Start, string> = {
  sample: "With a sample property filled in",
  empty: "Empty, for my own figures",
};

export class BidRoom implements Room {
  private property = "";
  private currency = "$";
  private system: UnitSystem = "us";
  private start: Start = "sample";
  private work: Work | null = null;
  private ended: Ended | null = null;

  constructor(private readonly panel: HTMLElement) {
    this.draw();
  }

  shown(): void {
    this.draw();
  }

  private async write(): Promise<void> {
    const work = new Work(() => this.draw());
    this.work = work;
    this.ended = null;
    this.draw();
    try {
      this.ended = await writeBid(
        {
          system: this.system,
          currency: this.currency.trim(),
          property: this.property.trim(),
          sample: this.start === "sample",
        },
        work,
      );
    } catch (error) {
      this.ended = error instanceof Stopped ? { stopped: error.message } : { trouble: asSentence(error) };
    }
    this.work = null;
    this.draw();
    this.panel.querySelector<HTMLElement>("#write-bid")?.focus();
  }

  /** The readers of map files are fetched only when a file is brought: most bids never need them. */
  private async bring(file: File): Promise<void> {
    const work = new Work(() => this.draw(), "Stopping");
    this.work = work;
    this.ended = null;
    this.draw();
    try {
      const { bringOutlines, fileText, largestFile } = await import("../../workbook/outlines");
      if (file.size > largestFile) {
        throw new WorkbookTrouble(
          `${file.name} is larger than 10 MB: save the outlines alone, then bring them in.`,
        );
      }
      const text = fileText(file.name, new Uint8Array(await file.arrayBuffer()));
      this.ended = { brought: await bringOutlines(file.name, text, work) };
    } catch (error) {
      this.ended = error instanceof Stopped ? { stopped: error.message } : { trouble: asSentence(error) };
    }
    this.work = null;
    this.draw();
    this.panel.querySelector<HTMLElement>("#outline-file")?.focus();
  }

  private async carry(): Promise<void> {
    try {
      this.ended = { carried: await carryReview() };
    } catch (error) {
      this.ended = { trouble: asSentence(error) };
    }
    this.draw();
    this.panel.querySelector<HTMLElement>("#carry-review")?.focus();
  }

  private carryView() {
    return html`
      <div class="more">
        <p class="hint">After the job: the real screen loss and paces from Review, for the next bid.</p>
        <fluent-button id="carry-review" size="small" @click=${() => void this.carry()}>
          Carry the review over
        </fluent-button>
      </div>
    `;
  }

  private outlineView() {
    return html`
      <div class="more">
        <label for="outline-file" class="label">Outlines from a map file</label>
        <p class="hint">GeoJSON, KML or GPX in latitude and longitude; they go on the sheet of outlines.</p>
        <input
          id="outline-file"
          type="file"
          accept=".geojson,.json,.kml,.gpx"
          @change=${({ currentTarget }: Event) => {
            const input = currentTarget as HTMLInputElement;
            const file = input.files?.[0];
            if (file !== undefined) void this.bring(file);
            // The same file may be brought again once it was put right.
            input.value = "";
          }}
        />
      </div>
    `;
  }

  private formView() {
    return html`
      <form
        @submit=${(event: Event) => {
          event.preventDefault();
        }}
      >
        ${fieldView({
          id: "property",
          label: "Property",
          text: this.property,
          isOptional: true,
          hint: "Name or address, as it is to stand on the bid.",
          onInput: (text) => {
            this.property = text;
          },
        })}
        ${choiceView<UnitSystem>({
          id: "bid-units",
          label: "Units",
          options: unitChoices,
          chosen: this.system,
          onChange: (system) => {
            this.system = system;
            this.draw();
          },
        })}
        ${fieldView({
          id: "currency",
          label: "Currency sign",
          text: this.currency,
          size: "short",
          onInput: (text) => {
            this.currency = text;
          },
        })}
        ${choiceView<Start>({
          id: "start",
          label: "Begin",
          options: starts,
          chosen: this.start,
          onChange: (start) => {
            this.start = start;
            this.draw();
          },
        })}
      </form>
    `;
  }

  private draw(): void {
    const { work } = this;
    render(
      html`
        <h2>Write the bid sheets</h2>
        <p>
          Adds new sheets that take a renovation from the measured site to the price. Sheets that are there
          already stay as they are.
        </p>
        ${this.formView()}
        ${
          work === null
            ? html`
                <fluent-button id="write-bid" appearance="primary" @click=${() => void this.write()}>
                  Write the bid sheets
                </fluent-button>
              `
            : progressView(work)
        }
        ${this.ended === null ? nothing : endedView(this.ended)}
        ${work === null ? html`${this.outlineView()} ${this.carryView()}` : nothing}
        ${cautionView("pesticide")}
      `,
      this.panel,
    );
  }
}

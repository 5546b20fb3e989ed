/** The bid as pictures: the ground, the work, the money, the bags; each with its figures as a table beside it. */
import { html, nothing, render } from "lit-html";
import { unsafeHTML } from "lit-html/directives/unsafe-html.js";
import type { BidFigures, BidsFound, Drawing, DrawingId, FigureTable, NotYet } from "../../workbook/drawings";
import {
  canPutPictures,
  drawingIds,
  drawingKinds,
  drawnFrom,
  isDrawing,
  paperInk,
  putOnSheet,
  readBid,
  themeInk,
} from "../../workbook/drawings";
import { asSentence, slices, Stopped, untold, watchWorkbook } from "../../workbook/host";
import { choiceView } from "../parts/choice";
import { fieldView } from "../parts/field";
import { message } from "../parts/message";
import { progressView, Work } from "../parts/progress";
import type { Room } from "../room";

/** Long enough for a person to finish a row of figures, short enough to feel at once. */
const settled = 400;

/** Narrower than this no text of a drawing can be read; wider it is no longer beside the sheet. */
const widths = { least: 220, most: 560 } as const;

/** How wide a drawing is made for a sheet, in pixels, and how much finer than the screen it is printed. */
const onPaper = { width: 700, finer: 3 } as const;
const pointsPerPixel = 0.75;

/** What a drawing is made from, and the drawing once it is made. */
interface Shown {
  readonly bid: BidFigures;
  readonly width: number;
  readonly perLoad: number | undefined;
  readonly work: Work;
  drawing: Drawing | NotYet | undefined;
}

type Put = { readonly done: string } | { readonly trouble: string };

/** The picture in the one form that every host takes; it is drawn on paper's colours, so the theme has no part in it. */
async function pngOf({ svg, width, height }: Drawing): Promise<string> {
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = width * onPaper.finer;
  canvas.height = height * onPaper.finer;
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/png").replace(/^data:image\/png;base64,/, "");
}

const bidLabel = (site: string): string => `${site} and its sheets`;

export class DrawingsRoom implements Room {
  private found: BidsFound | null = null;
  private trouble: string | null = null;
  private chosen: string | undefined;
  private perLoad = "";
  private readonly drawings = new Map<DrawingId, Shown>();
  private readonly puts = new Map<DrawingId, Put>();
  private isPutting = false;
  private isWatching = false;
  private asked = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly panel: HTMLElement) {
    this.draw();
    let drawnAt = panel.clientWidth;
    new ResizeObserver(() => {
      if (panel.clientWidth === drawnAt) return;
      drawnAt = panel.clientWidth;
      this.draw();
    }).observe(panel);
  }

  shown(): void {
    void this.look();
    if (this.isWatching) return;
    this.isWatching = true;
    watchWorkbook(() => this.soon()).catch((error: unknown) => {
      this.isWatching = false;
      this.trouble = asSentence(error);
      this.draw();
    });
  }

  private soon(): void {
    clearTimeout(this.timer);
    if (!this.panel.hidden) this.timer = setTimeout(() => void this.look(), settled);
  }

  private async look(): Promise<void> {
    const asked = ++this.asked;
    try {
      const found = await readBid(this.chosen);
      if (asked !== this.asked) return;
      this.found = found;
      this.trouble = null;
    } catch (error) {
      if (asked !== this.asked) return;
      this.found = null;
      this.trouble = asSentence(error);
    }
    this.draw();
  }

  private get bagsPerLoad(): number | undefined {
    const bags = Number(this.perLoad);
    return this.perLoad.trim() !== "" && Number.isInteger(bags) && bags > 0 ? bags : undefined;
  }

  /** As in the pane; it is not made anew while nothing of it has changed, and stopped where something has. */
  private shownDrawing(id: DrawingId, bid: BidFigures, width: number): Shown {
    const known = this.drawings.get(id);
    const perLoad = id === "bags" ? this.bagsPerLoad : undefined;
    if (known?.bid === bid && known.width === width && known.perLoad === perLoad) return known;
    if (known !== undefined) known.work.stopped = true;
    const work = new Work(() => this.draw(), "Stopping");
    // The one before stays until the new one is made: its buttons and whoever is on them are not taken away.
    const shown: Shown = { bid, width, perLoad, work, drawing: known?.drawing };
    this.drawings.set(id, shown);
    void this.make(id, shown);
    return shown;
  }

  private async make(id: DrawingId, shown: Shown): Promise<void> {
    const { bid, width, perLoad, work } = shown;
    const canvas = { width, ink: themeInk, id: `drawing-${id}` };
    try {
      shown.drawing = await drawnFrom(id, bid, canvas, { perLoad }, slices(work, "Drawing"));
    } catch (error) {
      const stopped = "Stopped: it is drawn once a figure of the bid or the width of the pane has changed.";
      shown.drawing = { missing: error instanceof Stopped ? stopped : asSentence(error) };
    }
    if (this.drawings.get(id) === shown) this.draw();
  }

  private async put(id: DrawingId, bid: BidFigures, sheet: string): Promise<void> {
    if (this.isPutting) return;
    this.isPutting = true;
    try {
      const canvas = { width: onPaper.width, ink: paperInk, id: `drawing-${id}` };
      const pause = slices(untold, "Drawing");
      const drawing = await drawnFrom(id, bid, canvas, { perLoad: this.bagsPerLoad }, pause);
      if (!isDrawing(drawing)) return;
      const { title, description, width, height } = drawing;
      const name = await putOnSheet(
        { drawing: id, sheet },
        {
          png: await pngOf(drawing),
          title,
          description,
          width: width * pointsPerPixel,
          height: height * pointsPerPixel,
        },
      );
      this.puts.set(id, {
        done: `It is on ${name}, below the cells in use. Put it again after a change: it does not follow by itself.`,
      });
    } catch (error) {
      this.puts.set(id, { trouble: asSentence(error) });
    } finally {
      this.isPutting = false;
    }
    this.draw();
  }

  private draw(): void {
    const { found, trouble } = this;
    render(
      html`
        <h2>The bid as drawings</h2>
        ${trouble === null ? nothing : message("info", trouble)}
        ${
          found === null
            ? trouble === null
              ? html`<p class="quiet" role="status">Reading the bid…</p>`
              : nothing
            : html`${this.bidsView(found)} ${drawingIds.map((id) => this.drawingView(id, found.bid))}`
        }
      `,
      this.panel,
    );
  }

  private bidsView({ names, bid }: BidsFound) {
    if (names.length < 2) return nothing;
    return choiceView({
      id: "drawn-bid",
      label: "Which bid",
      options: Object.fromEntries(names.map((name) => [name, bidLabel(name)])),
      chosen: bid.name,
      onChange: (name) => {
        this.chosen = name;
        this.puts.clear();
        void this.look();
      },
    });
  }

  private drawingView(id: DrawingId, bid: BidFigures) {
    const { least, most } = widths;
    const width = Math.max(least, Math.min(most, this.panel.clientWidth));
    const { drawing, work } = this.shownDrawing(id, bid, width);
    const { title } = drawingKinds[id];
    return html`
      <section class="drawing" aria-labelledby=${`drawing-${id}-head`}>
        <h3 id=${`drawing-${id}-head`}>${title}</h3>
        ${
          drawing === undefined
            ? progressView(work)
            : isDrawing(drawing)
              ? this.pictureView(id, bid, drawing)
              : html`<p>${drawing.missing}</p>`
        }
      </section>
    `;
  }

  private pictureView(id: DrawingId, bid: BidFigures, drawing: Drawing) {
    const put = this.puts.get(id);
    return html`
      ${unsafeHTML(drawing.svg)} ${id === "bags" ? this.loadView() : nothing}
      <details>
        <summary>The figures as a table</summary>
        ${tableView(drawing.table)}
      </details>
      ${
        canPutPictures()
          ? html`
              <div class="more">
                ${drawingKinds[id].sheets
                  .flatMap((which) => {
                    const name = bid.sheets[which];
                    return name === undefined ? [] : [{ which, name }];
                  })
                  .map(
                    ({ which, name }) => html`
                      <fluent-button
                        id=${`put-${id}-${which}`}
                        size="small"
                        @click=${() => void this.put(id, bid, name)}
                      >
                        Put on ${name}
                      </fluent-button>
                    `,
                  )}
              </div>
            `
          : html`<p class="hint">This version of Excel takes no pictures from an add-in: update Excel.</p>`
      }
      ${
        put === undefined
          ? nothing
          : "done" in put
            ? message("success", put.done)
            : message("error", put.trouble)
      }
    `;
  }

  private loadView() {
    const isWrong = this.perLoad.trim() !== "" && this.bagsPerLoad === undefined;
    return fieldView({
      id: "bags-per-load",
      label: "Bags on one load",
      text: this.perLoad,
      isOptional: true,
      hint: "Shows how close the bid is to one more trip.",
      trouble: isWrong ? "Enter a whole number of bags, such as 40, or leave it blank." : undefined,
      onInput: (text) => {
        this.perLoad = text;
        this.draw();
      },
    });
  }
}

const tableView = ({ caption, heads, rows }: FigureTable) => html`
  <table>
    <caption class="heard">
      ${caption}
    </caption>
    <thead>
      <tr>
        ${heads.map((head, i) => html`<th scope="col" class=${i === 0 ? "" : "value"}>${head}</th>`)}
      </tr>
    </thead>
    <tbody>
      ${rows.map(
        ([first, ...others]) => html`
          <tr>
            <th scope="row">${first}</th>
            ${others.map((cell) => html`<td class="value">${cell}</td>`)}
          </tr>
        `,
      )}
    </tbody>
  </table>
`;

/** The pane: its rooms, each behind a tab. */
import { html, nothing, render } from "lit-html";
import { version } from "../engine/edition/edition";
import { asSentence, onCalculationAsked } from "../workbook/host";
import { runningEdition } from "../workbook/formulas";
import { message } from "./parts/message";
import { UnfinishedOffer } from "./parts/unfinished";
import type { Room } from "./room";
import { FunctionsRoom } from "./rooms/functions";
import { ThisCellRoom } from "./rooms/this-cell";
import { SelectionFeed } from "./selection-feed";

interface RoomEntry {
  readonly title: string;
  /** What is wanted at once is part of the pane; a room that may never be opened is fetched when it is. */
  open(panel: HTMLElement, feed: SelectionFeed): Room | Promise<Room>;
}

const rooms = {
  functions: { title: "Functions", open: (panel, feed) => new FunctionsRoom(panel, feed) },
  "this-cell": { title: "This cell", open: (panel, feed) => new ThisCellRoom(panel, feed) },
  bid: { title: "Bid", open: async (panel) => new (await import("./rooms/bid")).BidRoom(panel) },
  "your-sheets": {
    title: "Your sheets",
    open: async (panel) => new (await import("./rooms/your-sheets")).YourSheetsRoom(panel),
  },
  checks: {
    title: "Checks",
    open: async (panel) => new (await import("./rooms/checks")).ChecksRoom(panel),
  },
  drawings: {
    title: "Drawings",
    open: async (panel) => new (await import("./rooms/drawings")).DrawingsRoom(panel),
  },
  "hand-over": {
    title: "Hand over",
    open: async (panel) => new (await import("./rooms/hand-over")).HandOverRoom(panel),
  },
} as const satisfies Record<string, RoomEntry>;
type RoomId = keyof typeof rooms;
const ids = Object.keys(rooms) as RoomId[];

const frame = (onChange: (event: Event) => void) => html`
  <header>
    <h1 class="heard">Swardsheet: quantities for lawn renovation</h1>
    <fluent-tablist
      role="tablist"
      aria-label="Rooms of the pane"
      activeid="tab-functions"
      @change=${onChange}
    >
      ${ids.map(
        (id) => html`
          <fluent-tab id=${`tab-${id}`} slot="tab" role="tab" aria-controls=${`room-${id}`}
            >${rooms[id].title}</fluent-tab
          >
        `,
      )}
    </fluent-tablist>
  </header>
  <main>
    <div id="unfinished"></div>
    <div id="notice"></div>
    ${ids.map(
      (id) => html`
        <div
          id=${`room-${id}`}
          class="room"
          role="tabpanel"
          aria-labelledby=${`tab-${id}`}
          ?hidden=${id !== "functions"}
        ></div>
      `,
    )}
  </main>
  <footer>
    Edition ${version}. <a href="support.html" target="_blank" rel="noopener">Help, safety and privacy</a>
  </footer>
`;

const panelOf = (page: HTMLElement, id: RoomId): HTMLElement => {
  const panel = page.querySelector<HTMLElement>(`#room-${id}`);
  if (panel === null) throw new Error(`The pane has no room ${id}.`);
  return panel;
};

const couldNotOpen = (title: string) =>
  message("error", `${title} could not be fetched: look whether you are online, then choose the tab again.`);

/** Opens a room the first time it comes into view, and tells it each time after that. */
class Rooms {
  private readonly opened = new Map<RoomId, Promise<Room>>();

  constructor(
    private readonly page: HTMLElement,
    private readonly feed: SelectionFeed,
  ) {}

  async show(id: RoomId): Promise<void> {
    const panel = panelOf(this.page, id);
    const room = this.opened.get(id) ?? Promise.resolve(rooms[id].open(panel, this.feed));
    this.opened.set(id, room);
    try {
      (await room).shown();
    } catch {
      this.opened.delete(id);
      render(couldNotOpen(rooms[id].title), panel);
    }
  }
}

export function openPane(page: HTMLElement): void {
  const feed = new SelectionFeed();
  const shown = new Rooms(page, feed);
  render(
    frame(({ target }) => {
      if (!(target instanceof HTMLElement)) return;
      const tab = (target as HTMLElement & { activeid?: string }).activeid;
      const id = ids.find((one) => `tab-${one}` === tab);
      if (id !== undefined) void shown.show(id);
    }),
    page,
  );
  void shown.show("functions");
  void shown.show("this-cell");

  const unfinished = page.querySelector<HTMLElement>("#unfinished");
  if (unfinished !== null) void new UnfinishedOffer(unfinished).look();

  const notice = page.querySelector<HTMLElement>("#notice");
  const tell = (content: unknown) => {
    if (notice !== null) render(content, notice);
  };
  onCalculationAsked(() => tell(message("info", wasCalculated)));
  feed.start().catch((error: unknown) => tell(message("error", asSentence(error))));
  runningEdition()
    .then((running) => tell(running === null || running === version ? nothing : otherEdition(running)))
    // A workbook that cannot be asked yet says so in the room where something is wanted of it.
    .catch(() => tell(nothing));
}

const wasCalculated =
  "Calculation is set to manual in this workbook: the pane had it calculated, so that what it shows is up to date.";

const otherEdition = (running: string) =>
  message(
    "warning",
    `The functions in this workbook are edition ${running}, this pane is edition ${version}: close the workbook and open it again.`,
  );

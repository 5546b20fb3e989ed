/** The pane: four rooms behind four tabs. */
import { html, nothing, render } from "lit-html";
import { version } from "../engine/edition/edition";
import { runningEdition } from "../workbook/edition";
import { message } from "./parts/message";
import type { Room } from "./room";
import { BidRoom } from "./rooms/bid";
import { FunctionsRoom } from "./rooms/functions";
import { HandOverRoom } from "./rooms/hand-over";
import { ThisCellRoom } from "./rooms/this-cell";
import { SelectionFeed } from "./selection-feed";
import { asSentence } from "../workbook/trouble";

const rooms = {
  functions: "Functions",
  "this-cell": "This cell",
  bid: "Bid",
  "hand-over": "Hand over",
} as const;
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
            >${rooms[id]}</fluent-tab
          >
        `,
      )}
    </fluent-tablist>
  </header>
  <main>
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
`;

const panelOf = (page: HTMLElement, id: RoomId): HTMLElement => {
  const panel = page.querySelector<HTMLElement>(`#room-${id}`);
  if (panel === null) throw new Error(`The pane has no room ${id}.`);
  return panel;
};

export function openPane(page: HTMLElement): void {
  const feed = new SelectionFeed();
  const shown = new Map<string, Room>();
  render(
    frame(({ target }) => {
      if (target instanceof HTMLElement)
        shown.get((target as HTMLElement & { activeid?: string }).activeid ?? "")?.shown();
    }),
    page,
  );
  shown.set("tab-functions", new FunctionsRoom(panelOf(page, "functions"), feed));
  shown.set("tab-this-cell", new ThisCellRoom(panelOf(page, "this-cell"), feed));
  shown.set("tab-bid", new BidRoom(panelOf(page, "bid")));
  shown.set("tab-hand-over", new HandOverRoom(panelOf(page, "hand-over")));

  const notice = page.querySelector<HTMLElement>("#notice");
  const tell = (content: unknown) => {
    if (notice !== null) render(content, notice);
  };
  feed.start().catch((error: unknown) => tell(message("error", asSentence(error))));
  runningEdition()
    .then((running) => tell(running === null || running === version ? nothing : otherEdition(running)))
    // A workbook that cannot be asked yet says so in the room where something is wanted of it.
    .catch(() => tell(nothing));
}

const otherEdition = (running: string) =>
  message(
    "warning",
    `The functions in this workbook are edition ${running}, this pane is edition ${version}: close the workbook and open it again.`,
  );

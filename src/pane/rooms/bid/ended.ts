/** What a work on the bid sheets did, in words. */
import { html, nothing } from "lit-html";
import type { CarriedFigure } from "../../../workbook/bid";
import type { BroughtIn } from "../../../workbook/outlines";
import { message } from "../../parts/message";
import { counted } from "../../words";

export type Ended =
  | { readonly sheets: readonly string[] }
  | { readonly brought: BroughtIn }
  | { readonly carried: readonly CarriedFigure[] }
  | { readonly stopped: string }
  | { readonly trouble: string };

const shown = (figure: unknown): string =>
  typeof figure === "number" ? String(Number(figure.toPrecision(4))) : "nothing";

const carriedView = (carried: readonly CarriedFigure[]) =>
  message(
    "success",
    html`
      Carried over; one undo takes it back:
      <ul>
        ${carried.map(
          ({ sheet, address, name, before, now }) =>
            html`<li>${sheet} ${address}, ${name}: ${shown(before)} is now ${shown(now)}</li>`,
        )}
      </ul>
    `,
  );

const broughtView = ({ sheet, outlines, zones, notes }: BroughtIn) =>
  message(
    "success",
    html`
      ${counted(outlines, "outline")} brought into the sheet ${sheet}. On the site sheet, name
      ${zones.length === 1 ? "the zone" : "the zones"} ${zones.join(", ")} and choose “outline” as how
      ${zones.length === 1 ? "it was" : "they were"} measured.
      ${
        notes.length === 0
          ? nothing
          : html`<ul>
              ${notes.map((note) => html`<li>${note}</li>`)}
            </ul>`
      }
    `,
  );

export function endedView(ended: Ended) {
  if ("trouble" in ended) return message("error", ended.trouble);
  if ("stopped" in ended) return message("info", ended.stopped);
  if ("brought" in ended) return broughtView(ended.brought);
  if ("carried" in ended) return carriedView(ended.carried);
  return message(
    "success",
    html`
      Written, in this order:
      <ul>
        ${ended.sheets.map((name) => html`<li>${name}</li>`)}
      </ul>
      To take the bid back, delete these sheets: nothing else in the workbook was changed. Undo does not take
      back an added sheet; one undo reverts only your own last entry since.
    `,
  );
}

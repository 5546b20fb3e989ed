/** What long work did, and each cell that a person should look at. */
import { html, nothing } from "lit-html";
import type { CellNote } from "../../workbook/host";
import { counted, countText } from "../words";
import { eachOnce, groupNotes } from "./group-notes";

/** More addresses than this help nobody; the count tells the rest. */
const mostListed = 100;

const cellsView = (cells: readonly CellNote[]) => html`
  ${cells
    .slice(0, mostListed)
    .map(
      ({ address, formula }, i) => html`${i === 0 ? nothing : ", "}<span title=${formula}>${address}</span>`,
    )}${cells.length > mostListed ? ` and ${countText(cells.length - mostListed)} more` : nothing}
`;

/** One cell a line with what it holds, where that is the point of the list. */
const heldView = (cells: readonly CellNote[]) => html`
  <ul>
    ${cells.slice(0, mostListed).map(({ address, formula }) => html`<li>${address}: ${formula}</li>`)}
    ${cells.length > mostListed ? html`<li>and ${countText(cells.length - mostListed)} more</li>` : nothing}
  </ul>
`;

export const notesView = (
  title: string,
  notes: readonly CellNote[],
  shows: "addresses" | "contents" = "addresses",
) =>
  notes.length === 0
    ? nothing
    : html`
        <details class="notes" ?open=${notes.length <= mostListed}>
          <summary>${title} <span class="count">${counted(eachOnce(notes).length, "cell")}</span></summary>
          ${groupNotes(notes).map(
            ({ note, sheets }) => html`
              <p>${note}</p>
              <ul>
                ${sheets.map(
                  ({ name, cells }) =>
                    html`<li>
                      <b>${name}</b>
                      <span class="code">${shows === "contents" ? heldView(cells) : cellsView(cells)}</span>
                    </li>`,
                )}
              </ul>
            `,
          )}
        </details>
      `;

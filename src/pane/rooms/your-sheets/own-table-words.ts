/** What is told of a table of the estimator's own. */
import { html, nothing } from "lit-html";
import type { Caution } from "../../../engine/formula";
import type {
  OwnTable,
  PreviewRow,
  Proposal,
  Proposals,
  Understanding,
  WrittenColumns,
} from "../../../workbook/own-sheets";
import { freeColumns } from "../../../workbook/own-sheets";
import { cellAddress, qualified } from "../../../workbook/host";
import { message } from "../../parts/message";
import { counted, nameOf } from "../../words";

export interface Previewed extends Proposal {
  readonly rows: readonly PreviewRow[];
}

export interface Shown {
  readonly table: OwnTable;
  readonly understanding: Understanding;
  readonly proposals: readonly Previewed[];
  readonly notProposed: Proposals["notProposed"];
}

export type Told =
  { readonly written: WrittenColumns } | { readonly stopped: string } | { readonly trouble: string };

export const placeText = ({ cells, headingRow, left, right, bottom, rows }: OwnTable): string => {
  const address = `${cellAddress(headingRow, left)}:${cellAddress(bottom, right)}`;
  return `${qualified({ sheet: cells.name, address })}, ${counted(rows.length, "row")} with figures`;
};

export function whereText(table: OwnTable, ticked: readonly Previewed[]): string {
  if (ticked.length === 0) return "Tick what is to be added.";
  const first = freeColumns(table, ticked.length);
  const last = table.rows[table.rows.length - 1] ?? table.headingRow;
  const address = `${cellAddress(table.headingRow, first)}:${cellAddress(last, first + ticked.length - 1)}`;
  const go = ticked.length === 1 ? "It goes" : "They go";
  return `${go} into ${qualified({ sheet: table.cells.name, address })}, where nothing stands now, headings included. Your own cells stay as they are.`;
}

export const cautionsOf = (ticked: readonly Previewed[]): readonly Caution[] => [
  ...new Set(ticked.flatMap(({ definition: { caution } }) => caution ?? [])),
];

export const notProposedView = ({ notProposed }: Shown) =>
  notProposed.length === 0
    ? nothing
    : html`
        <details>
          <summary>
            Not proposed <span class="count">${counted(notProposed.length, "function")}</span>
          </summary>
          <ul>
            ${notProposed.map(
              ({ definition, why }) =>
                html`<li><span class="code">${nameOf(definition)}</span>: ${why}.</li>`,
            )}
          </ul>
        </details>
      `;

export function toldView(told: Told) {
  if ("trouble" in told) return message("error", told.trouble);
  if ("stopped" in told) return message("info", told.stopped);
  const { sheet, address, headings, formulas } = told.written;
  return message(
    "success",
    html`
      Written to ${qualified({ sheet, address })}: ${headings.join(", ")}; ${counted(formulas, "formula")} in
      all. One undo in the workbook takes all of it back.
    `,
  );
}

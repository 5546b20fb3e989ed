/** What a function would give for the first rows of a table. */
import { html, nothing } from "lit-html";
import { quantity } from "../../../engine/working/figures";
import type { OwnTable, PreviewRow, Proposal } from "../../../workbook/own-sheets";
import { counted, inPlainWords } from "../../words";

/** So many rows are shown of what a function would give, and so many are looked through for refusals. */
const previewed = 3;

const resultText = ({ definition, system }: Proposal, value: number | string): string =>
  typeof value === "number"
    ? `${quantity(value, definition.result.kind, system)}${definition.result.counted === undefined ? "" : ` ${definition.result.counted}`}`
    : value;

/** The first rows, and the first that is refused where none of them is. */
function rowsToShow(rows: readonly PreviewRow[]): readonly PreviewRow[] {
  const first = rows.slice(0, previewed);
  const refused = rows.slice(previewed).find(({ result }) => "refusal" in result);
  return refused === undefined || first.some(({ result }) => "refusal" in result)
    ? first
    : [...first, refused];
}

export function previewView(table: OwnTable, proposal: Proposal, rows: readonly PreviewRow[]) {
  const refused = rows.filter(({ result }) => "refusal" in result).length;
  const many = rows.length < table.rows.length ? "The first " : "";
  const told = `${many}${counted(rows.length, "row")}: ${refused === 0 ? "none" : refused} refused.`;
  return html`
    <table aria-label=${`First results of ${proposal.heading}`}>
      <tbody>
        ${rowsToShow(rows).map(
          ({ row, result }) => html`
            <tr class=${"refusal" in result ? "wrong" : nothing}>
              <th scope="row">${rowName(table, row)}</th>
              <td class=${"refusal" in result ? nothing : "value"}>
                ${
                  "refusal" in result
                    ? inPlainWords(result.refusal, proposal.definition.parameters)
                    : resultText(proposal, result.value)
                }
              </td>
            </tr>
          `,
        )}
      </tbody>
    </table>
    <p class="hint">${told}</p>
  `;
}

/** A row is called by the words that begin it, such as the zone's name. */
function rowName({ cells, left }: OwnTable, row: number): string {
  const first = cells.rows[row - cells.top]?.[left - cells.left]?.value;
  return typeof first === "string" && first.trim() !== "" ? `${first} (row ${row + 1})` : `Row ${row + 1}`;
}

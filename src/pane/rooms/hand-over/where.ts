/** Whether a copy of the workbook is handed over, or the workbook itself. */
import { html } from "lit-html";
import { givesFile } from "../../../workbook/host";
import { choiceView } from "../../parts/choice";

export type Where = "copy" | "here";

const places: Record<Where, string> = {
  copy: "In a copy; this workbook stays as it is",
  here: "In this workbook",
};

export function whereView(chosen: Where, onChange: (where: Where) => void) {
  if (!givesFile())
    return html`<p class="hint">
      Excel does not give this workbook's file to the pane here, so the sheets are converted in this workbook.
    </p>`;
  return choiceView<Where>({ id: "where", label: "Where", options: places, chosen, stacked: true, onChange });
}

/** What is done with a workbook that was handed over, or whose functions are not found. */
import { html, nothing } from "lit-html";

interface MoreActions {
  readonly bringBack: () => void;
  readonly seeEdits: () => void;
  readonly repair: () => void;
}

const returnedView = ({ bringBack, seeEdits }: MoreActions) => html`
  <div class="more stacked">
    <p class="hint">A handed-over workbook that came back from others:</p>
    <fluent-button id="bring-back" size="small" @click=${bringBack}> Bring the functions back </fluent-button>
    <fluent-button id="see-edits" size="small" @click=${seeEdits}>
      List what was changed since
    </fluent-button>
  </div>
`;

export const moreView = (isHandedOver: boolean, actions: MoreActions) => html`
  ${isHandedOver ? returnedView(actions) : nothing}
  <div class="more">
    <p class="hint">Cells of ours that show #NAME?, once the add-in is loaded:</p>
    <fluent-button id="repair" size="small" @click=${actions.repair}> Enter them again </fluent-button>
  </div>
`;

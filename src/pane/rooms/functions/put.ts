/** The formula on its way into the selected cell. */
import { html, nothing } from "lit-html";
import type { Place } from "../../../workbook/host";
import { qualified } from "../../../workbook/host";
import type { Intent } from "../../parts/message";
import { message } from "../../parts/message";
import type { Work } from "../../parts/progress";
import { progressView } from "../../parts/progress";

export interface Told {
  readonly intent: Intent;
  readonly sentence: string;
}

/** A cell that holds something already, and the formula that would go into it. */
export interface Occupied {
  readonly place: Place;
  readonly holds: string;
  readonly formula: string;
}

interface PutState {
  readonly target: Place | null;
  readonly occupied: Occupied | null;
  readonly told: Told | null;
  readonly work: Work | null;
}

interface PutActions {
  readonly put: () => void;
  readonly overwrite: (occupied: Occupied) => void;
  readonly keep: () => void;
}

const occupiedView = (occupied: Occupied, { overwrite, keep }: PutActions) =>
  message(
    "warning",
    html`${qualified(occupied.place)} is not empty. It holds <span class="code">${occupied.holds}</span>`,
    html`
      <fluent-button size="small" @click=${() => overwrite(occupied)}>Overwrite it</fluent-button>
      <fluent-button size="small" id="keep" @click=${keep}>Keep it</fluent-button>
    `,
  );

export const putView = ({ target, occupied, told, work }: PutState, actions: PutActions) => html`
  <div class="put">
    <fluent-button id="put" appearance="primary" @click=${actions.put}>Put it in the cell</fluent-button>
    <span class="quiet">${target === null ? "No cell is selected." : `Selected: ${qualified(target)}`}</span>
  </div>
  ${work === null ? nothing : progressView(work)}
  ${occupied === null ? nothing : occupiedView(occupied, actions)}
  ${told === null ? nothing : message(told.intent, told.sentence)}
`;

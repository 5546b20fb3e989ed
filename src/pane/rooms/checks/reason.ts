/** The reason why a finding is set aside, as it is written. */
import { html } from "lit-html";
import { fieldView } from "../../parts/field";

export interface Reason {
  readonly reason: string;
  readonly trouble?: string;
}

interface ReasonActions {
  readonly onInput: (reason: string) => void;
  readonly keep: () => void;
  readonly leave: () => void;
}

export const reasonView = ({ reason, trouble }: Reason, { onInput, keep, leave }: ReasonActions) => html`
  <form
    @submit=${(event: Event) => {
      event.preventDefault();
      keep();
    }}
  >
    ${fieldView({
      id: "reason",
      label: "Why it is right as it stands",
      text: reason,
      trouble,
      hint: "Kept in the workbook and on the list of checks; the client's page does not show it.",
      onInput,
    })}
    <div class="actions">
      <fluent-button size="small" appearance="primary" @click=${keep}> Set aside </fluent-button>
      <button type="button" class="plain" @click=${leave}>Leave it open</button>
    </div>
  </form>
`;

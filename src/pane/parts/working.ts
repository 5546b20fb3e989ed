/** The working of a result: one named figure a line, with the sum that gives it. */
import { html, nothing } from "lit-html";
import type { Working } from "../../engine/working/working";
import { capitalised } from "../words";

/** An answer of many cells is no headline. */
export const resultSize = (answer: string): string => (answer.length > 30 ? "result long" : "result");

export const workingView = ({ lines }: Working) =>
  lines.length === 0
    ? nothing
    : html`
        <ol class="working" aria-label="Working">
          ${lines.map(
            ({ name, sum, gives }) => html`
              <li>
                <span class="name">${capitalised(name)}</span>
                ${sum === "" ? nothing : html`<span class="sum">${sum}</span>`}
                <span class="gives">= ${gives}</span>
              </li>
            `,
          )}
        </ol>
      `;

/** The functions as a list that a word narrows down. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import type { WorksheetFunction } from "../../../engine/formula";
import { groupsFor } from "../../search";
import { nameOf } from "../../words";

const searchView = (query: string, onQuery: (query: string) => void) => html`
  <fluent-text-input
    id="search"
    autocomplete="off"
    spellcheck="false"
    placeholder="seed, label, topdressing, price…"
    .value=${live(query)}
    @input=${({ currentTarget }: Event) => onQuery((currentTarget as HTMLInputElement).value)}
  >
    Find a function
  </fluent-text-input>
`;

const rowView = (definition: WorksheetFunction, open: (definition: WorksheetFunction) => void) => html`
  <li>
    <button type="button" class="row" id=${`open-${definition.id}`} @click=${() => open(definition)}>
      <span class="code">${nameOf(definition)}</span>
      <span class="sentence">${definition.sentence}</span>
    </button>
  </li>
`;

export function listView(
  query: string,
  onQuery: (query: string) => void,
  open: (definition: WorksheetFunction) => void,
) {
  const groups = groupsFor(query);
  const count = groups.reduce((sum, { functions }) => sum + functions.length, 0);
  return html`
    <h2 class="heard">Functions</h2>
    ${searchView(query, onQuery)}
    <p class="heard" role="status">
      ${query.trim() === "" ? nothing : `${count} ${count === 1 ? "function" : "functions"} found`}
    </p>
    ${groups.map(
      ({ heading, functions }) => html`
        <h3>${heading}</h3>
        <ul class="rows">
          ${functions.map((definition) => rowView(definition, open))}
        </ul>
      `,
    )}
    ${
      count > 0
        ? nothing
        : html`<p>No function has all of these words. Try fewer words, such as “seed” or “bags”.</p>`
    }
  `;
}

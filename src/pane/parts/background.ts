/** Where a function's formula comes from, and one example worked through. */
import { html, nothing } from "lit-html";
import type { Example, Source, WorksheetFunction } from "../../engine/formula";
import { unitsPosition } from "../../engine/formula";
import type { UnitSystem } from "../../engine/units";
import { quantity } from "../../engine/working/figures";
import { nameOf } from "../words";

const asWritten = (given: Example["given"][number]): string =>
  typeof given === "number"
    ? String(given)
    : typeof given === "string"
      ? `"${given}"`
      : `{${given.map((row) => row.join(",")).join(";")}}`;

function resultText(definition: WorksheetFunction): string {
  const { example, result } = definition;
  if (typeof example.gives !== "number") return asWritten(example.gives);
  const system: UnitSystem = example.given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  const told = quantity(example.gives, result.kind, system);
  return result.counted === undefined ? told : `${told} ${result.counted}`;
}

const sourceView = ({ title, publisher, year, note }: Source) => html`
  <li>
    ${title}. ${publisher}${year === undefined ? "" : `, ${year}`}.
    ${note === undefined ? nothing : html`<span class="quiet">(${note})</span>`}
  </li>
`;

export const sourcesView = ({ sources }: WorksheetFunction) =>
  sources.length === 0
    ? nothing
    : html`
        <ul class="sources">
          ${sources.map(sourceView)}
        </ul>
      `;

export const backgroundView = (definition: WorksheetFunction) => html`
  <details>
    <summary>Example and sources</summary>
    <p>${`${definition.example.story.charAt(0).toUpperCase()}${definition.example.story.slice(1)}:`}</p>
    <p class="code">${`=${nameOf(definition)}(${definition.example.given.map(asWritten).join(", ")})`}</p>
    <p>gives ${resultText(definition)}.</p>
    ${sourcesView(definition)}
  </details>
`;

/** What a function gives for the form as it is filled in. */
import { html, nothing } from "lit-html";
import type { WorksheetFunction } from "../../../engine/formula";
import type { Outcome, Reading } from "../../form-model";
import { formulaOf } from "../../form-model";
import { resultSize, workingView } from "../../parts/working";
import { capitalised } from "../../words";

function resultView(definition: WorksheetFunction, outcome: Outcome) {
  switch (outcome.kind) {
    case "waiting":
      return html`<p class="quiet">${`Still needed: ${outcome.needed.join(", ").toLowerCase()}.`}</p>`;
    case "reading":
      return html`<p class="quiet">Reading the cells…</p>`;
    case "refusal":
      return html`<p class="trouble">
        ${outcome.sentence === "" ? "No result yet: see the field marked above." : outcome.sentence}
      </p>`;
    case "answer":
      return html`
        <p class="quiet">${capitalised(definition.result.name)}</p>
        <p class=${resultSize(outcome.working.answer)}>${outcome.working.answer}</p>
      `;
  }
}

function formulaView(definition: WorksheetFunction, readings: readonly Reading[]) {
  const written = formulaOf(definition, readings);
  return "formula" in written ? html`<p class="code formula">${written.formula}</p>` : nothing;
}

export function outcomeView(definition: WorksheetFunction, outcome: Outcome, readings: readonly Reading[]) {
  return html`
    <section class="outcome" aria-label="Result">
      <div role="status">${resultView(definition, outcome)}</div>
      ${outcome.kind === "answer" ? workingView(outcome.working) : nothing}
      ${formulaView(definition, readings)}
    </section>
  `;
}

/**
 * The caution beside pesticide and fertiliser figures. Its first line always shows; the rest can be folded away for the
 * eye only, so that nobody who listens to the page misses a line.
 */
import { html } from "lit-html";
import { cautions } from "../../engine/cautions";
import type { Caution } from "../../engine/formula";

const titles: Record<Caution, string> = {
  pesticide: "Before you spray or spread",
  fertiliser: "Before you spread",
};

/** Every caution of a kind is folded or unfolded alike. */
const unfolded = new Set<Caution>();

function toggle(caution: Caution, { currentTarget }: Event): void {
  if (unfolded.has(caution)) unfolded.delete(caution);
  else unfolded.add(caution);
  (currentTarget as HTMLElement).closest(".caution")?.classList.toggle("folded");
}

export const cautionView = (caution: Caution) => html`
  <aside class=${unfolded.has(caution) ? "caution" : "caution folded"} aria-label="Caution">
    <strong>${titles[caution]}</strong>
    <ul>
      ${cautions[caution].map((line) => html`<li>${line}</li>`)}
    </ul>
    <button type="button" class="plain" @click=${(event: Event) => toggle(caution, event)}>
      <span class="unfold">Show all ${cautions[caution].length} lines</span>
      <span class="fold">Show the first line only</span>
    </button>
  </aside>
`;

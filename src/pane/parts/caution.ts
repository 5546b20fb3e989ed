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

/** Told apart by what they say: every caution of a kind is folded or unfolded alike. */
const unfolded = new Set<Caution>();

function toggle(caution: Caution, { currentTarget }: Event): void {
  if (unfolded.has(caution)) unfolded.delete(caution);
  else unfolded.add(caution);
  const button = currentTarget as HTMLElement;
  const open = unfolded.has(caution);
  button.closest(".caution")?.classList.toggle("folded", !open);
  button.textContent = toggleText(caution, open);
}

const toggleText = (caution: Caution, open: boolean): string =>
  open ? "Show the first line only" : `Show all ${cautions[caution].length} lines`;

export const cautionView = (caution: Caution) => html`
  <aside class=${unfolded.has(caution) ? "caution" : "caution folded"} aria-label="Caution">
    <strong>${titles[caution]}</strong>
    <ul>
      ${cautions[caution].map((line) => html`<li>${line}</li>`)}
    </ul>
    <button type="button" class="plain" @click=${(event: Event) => toggle(caution, event)}>
      ${toggleText(caution, unfolded.has(caution))}
    </button>
  </aside>
`;

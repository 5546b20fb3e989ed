/** A formula with a button that copies it; where the clipboard is closed to the pane, it is marked for Ctrl+C. */
import { html } from "lit-html";
import { keyed } from "lit-html/directives/keyed.js";

async function copy(text: string, { currentTarget }: Event): Promise<void> {
  const block = (currentTarget as HTMLElement).closest(".copy");
  const told = block?.querySelector(".told");
  const code = block?.querySelector("code");
  if (!(told instanceof HTMLElement) || !(code instanceof HTMLElement)) return;
  try {
    await navigator.clipboard.writeText(text);
    told.textContent = "Copied.";
  } catch {
    getSelection()?.selectAllChildren(code);
    told.textContent = "Marked: press Ctrl+C (Cmd+C) to copy.";
  }
}

/** Another formula begins with nothing said about copying. */
export const copyView = (text: string, what: string) => keyed(text, formulaView(text, what));

const formulaView = (text: string, what: string) => html`
  <div class="copy">
    <code class="code">${text}</code>
    <div class="actions">
      <fluent-button size="small" @click=${(event: Event) => void copy(text, event)}
        >${`Copy ${what}`}</fluent-button
      >
      <span class="told" role="status"></span>
    </div>
  </div>
`;

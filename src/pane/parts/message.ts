/** One sentence from the pane to the person, with what can be done about it. */
import type { TemplateResult } from "lit-html";
import { html, nothing, svg } from "lit-html";

export type Intent = "info" | "success" | "warning" | "error";

const strokes: Record<Intent, TemplateResult> = {
  info: svg`<circle cx="8" cy="8" r="6.5" /><path d="M8 7.2v4M8 4.6v.3" />`,
  success: svg`<circle cx="8" cy="8" r="6.5" /><path d="M5 8.3l2.1 2.1L11 6.2" />`,
  warning: svg`<path d="M8 1.8 15 14H1Z" /><path d="M8 6.2v3.6M8 11.7v.3" />`,
  error: svg`<circle cx="8" cy="8" r="6.5" /><path d="M5.7 5.7l4.6 4.6M10.3 5.7l-4.6 4.6" />`,
};

const icon = (intent: Intent) => html`
  <svg slot="icon" class="icon" viewBox="0 0 16 16" aria-hidden="true">${strokes[intent]}</svg>
`;

/** Trouble is read out at once, all else when the person pauses. */
export const message = (intent: Intent, content: unknown, actions?: unknown) => html`
  <fluent-message-bar
    class="message"
    intent=${intent}
    layout=${actions === undefined ? nothing : "multiline"}
    role=${intent === "error" ? "alert" : "status"}
  >
    ${icon(intent)}
    <div>${content}</div>
    ${actions === undefined ? nothing : html`<div slot="actions" class="actions">${actions}</div>`}
  </fluent-message-bar>
`;

/** A labelled field with its unit, a hint, what stands behind a reference, and what is wrong with it. */
import type { ElementPart } from "lit-html";
import { html, noChange, nothing } from "lit-html";
import { Directive, directive } from "lit-html/directive.js";
import { live } from "lit-html/directives/live.js";

/**
 * The control lies inside the host's element, out of reach of the page's ids: its description and its state are set on
 * the control itself.
 */
class Described extends Directive {
  private element: Element | undefined;

  override update({ element }: ElementPart, given: [string, boolean]) {
    this.element = element;
    return this.render(...given);
  }

  override render(description: string, isWrong: boolean) {
    // The control is there once the element stands in the page, which is after its first rendering.
    queueMicrotask(() => {
      const control = this.element?.shadowRoot?.querySelector("input");
      control?.setAttribute("aria-description", description);
      control?.setAttribute("aria-invalid", String(isWrong));
    });
    return noChange;
  }
}

const described = directive(Described);

export interface FieldView {
  readonly id: string;
  readonly label: string;
  readonly text: string;
  readonly onInput: (text: string) => void;
  readonly unit?: string;
  readonly hint?: string;
  readonly placeholder?: string;
  readonly isOptional?: boolean;
  /** What the workbook holds behind the reference. */
  readonly holds?: string | undefined;
  readonly trouble?: string | undefined;
  /** Words that can be put in with a click instead of being typed. */
  readonly choices?: readonly string[];
  readonly useSelection?: () => void;
  readonly size?: "short";
}

const valueOf = ({ currentTarget }: Event): string => (currentTarget as HTMLInputElement).value;

/** More choices than this are folded away. */
const mostAtOnce = 8;

function choicesView({ label, text, onInput }: FieldView, choices: readonly string[]) {
  const chosen = text.trim().toLowerCase();
  const buttons = html`
    <div class="choices" role="group" aria-label=${`Choices for ${label.toLowerCase()}`}>
      ${choices.map(
        (choice) => html`
          <button
            type="button"
            aria-pressed=${String(chosen === choice.toLowerCase())}
            @click=${() => onInput(choice)}
          >
            ${choice}
          </button>
        `,
      )}
    </div>
  `;
  return choices.length <= mostAtOnce
    ? buttons
    : html`
        <details>
          <summary>${`The ${choices.length} choices`}</summary>
          ${buttons}
        </details>
      `;
}

export const fieldView = (field: FieldView) => {
  const { id, label, trouble, hint = "", unit = "", holds = "", choices = [] } = field;
  const description = [trouble ?? "", unit === "" ? "" : `In ${unit}.`, hint, holds === "" ? "" : `${holds}.`]
    .filter((part) => part !== "")
    .join(" ");
  return html`
    <div class=${trouble === undefined ? "field" : "field wrong"}>
      <fluent-text-input
        id=${id}
        class=${field.size ?? nothing}
        autocomplete="off"
        spellcheck="false"
        placeholder=${field.placeholder ?? nothing}
        .value=${live(field.text)}
        ${described(description, trouble !== undefined)}
        @input=${(event: Event) => field.onInput(valueOf(event))}
      >
        ${label}${field.isOptional === true ? html`<span class="optional"> (optional)</span>` : nothing}
        ${unit === "" ? nothing : html`<span slot="end" class="unit">${unit}</span>`}
      </fluent-text-input>
      ${
        field.useSelection === undefined
          ? nothing
          : html`
              <button
                type="button"
                class="plain use"
                aria-label=${`Use selection for ${label.toLowerCase()}`}
                @click=${field.useSelection}
              >
                Use selection
              </button>
            `
      }
      ${choices.length === 0 ? nothing : choicesView(field, choices)}
      <p class="trouble" aria-live="polite">${trouble ?? nothing}</p>
      ${holds === "" ? nothing : html`<p class="holds">${holds}</p>`}
      ${hint === "" || trouble !== undefined ? nothing : html`<p class="hint">${hint}</p>`}
    </div>
  `;
};

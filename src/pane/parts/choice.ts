/** One of a few: the unit system, or how the bid begins. The room draws anew when another is chosen. */
import { html } from "lit-html";
import type { UnitSystem } from "../../engine/units";

export interface ChoiceView<V extends string> {
  readonly id: string;
  readonly label: string;
  readonly options: Readonly<Record<V, string>>;
  readonly chosen: V;
  readonly onChange: (value: V) => void;
  /** One below the other, where there are many or they are long. */
  readonly stacked?: boolean;
}

/** An id is named in lists of ids, which are parted by spaces. */
const optionId = (id: string, value: string): string => `${id}-${value.replaceAll(" ", "-")}`;

export const choiceView = <V extends string>({
  id,
  label,
  options,
  chosen,
  onChange,
  stacked = false,
}: ChoiceView<V>) => html`
  <div class="choice">
    <span id=${`${id}-label`} class="label">${label}</span>
    <fluent-radio-group
      id=${id}
      role="radiogroup"
      name=${id}
      orientation=${stacked ? "vertical" : "horizontal"}
      value=${chosen}
      aria-labelledby=${`${id}-label`}
      @change=${({ currentTarget }: Event) => onChange((currentTarget as HTMLInputElement).value as V)}
    >
      ${(Object.entries(options) as [V, string][]).map(
        ([value, text]) => html`
          <fluent-field label-position="after">
            <label slot="label" for=${optionId(id, value)}>${text}</label>
            <fluent-radio
              slot="input"
              id=${optionId(id, value)}
              role="radio"
              aria-checked=${String(value === chosen)}
              name=${id}
              value=${value}
            ></fluent-radio>
          </fluent-field>
        `,
      )}
    </fluent-radio-group>
  </div>
`;

export const unitChoices: Record<UnitSystem, string> = { us: "US", metric: "Metric" };

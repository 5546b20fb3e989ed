/** The sheets to hand over, each with what it is for the choice that is made. */
import { html, nothing } from "lit-html";
import type { ReaderSheets, SheetState, WayId } from "../../../workbook/handover";
import { isFormulasWay, isReader, sheetsFor } from "../../../workbook/handover";
import { counted } from "../../words";

/** A line of the list of sheets. */
export interface SheetLine {
  readonly name: string;
  readonly told: string;
  /** Whether it can be ticked at all. */
  readonly isChoice: boolean;
  readonly isTicked: boolean;
}

const stateText = ({ calls, handedOver }: SheetState): string => {
  const parts = [
    calls > 0 ? `${counted(calls, "formula")} with our functions` : "",
    handedOver > 0 ? `${counted(handedOver, "formula")} handed over` : "",
  ].filter((part) => part !== "");
  return parts.length === 0 ? "none of our functions" : parts.join(", ");
};

const hasSomething = ({ calls, handedOver }: SheetState): boolean => calls + handedOver > 0;

/** Every sheet; `ticks` is what the person ticked or took out, beside what the choice brings with it. */
export function sheetLines(
  sheets: readonly SheetState[],
  choice: WayId,
  known: ReaderSheets,
  ticks: ReadonlyMap<string, boolean>,
): readonly SheetLine[] {
  const usual = isReader(choice) ? sheetsFor(choice, known) : [];
  return sheets.map((state): SheetLine => {
    const { name } = state;
    const isHidden = known.sheets.find((sheet) => sheet.name === name)?.isHidden === true;
    if (isFormulasWay(choice))
      return {
        name,
        told: stateText(state),
        isChoice: hasSomething(state),
        isTicked: ticks.get(name) ?? hasSomething(state),
      };
    return {
      name,
      told: isHidden ? "a hidden sheet" : "",
      isChoice: true,
      isTicked: ticks.get(name) ?? usual.includes(name),
    };
  });
}

interface Checkbox {
  readonly id: string;
  readonly label: unknown;
  readonly isChecked: boolean;
  readonly isDisabled: boolean;
  readonly onChange: (isIn: boolean) => void;
}

export const checkbox = ({ id, label, isChecked, isDisabled, onChange }: Checkbox) => html`
  <fluent-field class="sheet" label-position="after">
    <label slot="label" for=${id}>${label}</label>
    <fluent-checkbox
      slot="input"
      id=${id}
      .checked=${isChecked}
      ?disabled=${isDisabled}
      @change=${({ currentTarget }: Event) => onChange((currentTarget as HTMLInputElement).checked)}
    ></fluent-checkbox>
  </fluent-field>
`;

export function lineView(
  { name, told, isChoice, isTicked }: SheetLine,
  id: string,
  isDisabled: boolean,
  onChange: (isIn: boolean) => void,
) {
  const state = told === "" ? nothing : html`<span class="state">${told}</span>`;
  if (!isChoice) return html`<p class="sheet none"><span>${name}</span> ${state}</p>`;
  const label = html`<span>${name} ${state}</span>`;
  return checkbox({ id, label, isChecked: isTicked, isDisabled, onChange });
}

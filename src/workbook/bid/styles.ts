/** How the sheets of a bid look: colours, number formats and the look of each role, in one place. */
import type { Range } from "../host";
import type { UnitSystem } from "../../engine/units";
import type { CellRole, NumberForm, PlannedCell } from "./plan";

const colours = {
  ink: "#1F2A22",
  quiet: "#5B665E",
  accent: "#1E5B33",
  band: "#E9F0EA",
  input: "#FFF8DC",
  inputEdge: "#9A7B1C",
  caution: "#7A2E00",
} as const;

/**
 * The number format of a cell, or none where the host's own will do. A text that is worked out is general, or the host
 * would show its formula; a result of nothing stays empty, so that unfilled rows are quiet. The section for text is
 * written out: a program that adds the missing one when it saves adds an empty one, and the words would be gone.
 */
export function numberFormat(
  { form, role }: Pick<PlannedCell, "form" | "role">,
  isFormula: boolean,
  { currency, system }: { readonly currency: string; readonly system: UnitSystem },
): string | undefined {
  const sign = currency.replaceAll('"', "");
  const money = sign === "" ? "#,##0.00" : `"${sign}"#,##0.00`;
  const quiet = (format: string) => (role === "result" ? `${format};-${format};;@` : format);
  const formats: Record<NumberForm, string | undefined> = {
    general: undefined,
    whole: quiet("#,##0"),
    "one decimal": quiet("#,##0.0"),
    "two decimals": quiet("#,##0.00"),
    "four decimals": quiet("0.0000"),
    "per cent": quiet("0.0%"),
    "fine per cent": quiet("0.000%"),
    money: quiet(money),
    date: system === "us" ? "mm/dd/yyyy" : "dd/mm/yyyy",
    day: '"day "0',
    text: isFormula ? undefined : "@",
  };
  return formats[form];
}

const allEdges = [
  "EdgeTop",
  "EdgeBottom",
  "EdgeLeft",
  "EdgeRight",
  "InsideHorizontal",
  "InsideVertical",
] as const;

function box(range: Range, edges: readonly (typeof allEdges)[number][], color: string): void {
  for (const edge of edges) {
    const border = range.format.borders.getItem(edge);
    border.style = "Continuous";
    border.color = color;
  }
}

function wrapped(range: Range, vertical: "Center" | "Bottom"): void {
  range.format.wrapText = true;
  range.format.verticalAlignment = vertical;
}

/** How each role looks. */
export const looks: Record<CellRole, (range: Range) => void> = {
  title: ({ format }) => format.font.set({ bold: true, size: 16, color: colours.accent }),
  purpose: ({ format }) => format.font.set({ size: 12, color: colours.ink }),
  legend: ({ format }) => format.font.set({ italic: true, color: colours.quiet }),
  heading: ({ format }) => format.font.set({ bold: true, size: 12, color: colours.accent }),
  group: ({ format }) => format.font.set({ bold: true, color: colours.accent }),
  column: (range) => {
    range.format.font.set({ bold: true, color: colours.ink });
    range.format.fill.color = colours.band;
    wrapped(range, "Bottom");
    box(range, ["EdgeBottom"], colours.accent);
  },
  label: () => undefined,
  unit: ({ format }) => format.font.set({ color: colours.quiet }),
  note: ({ format }) => format.font.set({ italic: true, color: colours.quiet }),
  text: (range) => {
    range.format.font.set({ color: colours.ink });
    wrapped(range, "Center");
  },
  input: (range) => {
    range.format.fill.color = colours.input;
    box(range, allEdges, colours.inputEdge);
  },
  tick: (range) => {
    range.format.font.set({ size: 12, color: colours.ink });
    range.format.horizontalAlignment = "Center";
  },
  // As the host would show them.
  result: () => undefined,
  total: (range) => {
    range.format.font.set({ bold: true, color: colours.ink });
    box(range, ["EdgeTop"], colours.ink);
  },
  closing: (range) => {
    range.format.font.set({ italic: true, color: colours.quiet });
    box(range, ["EdgeTop"], colours.accent);
  },
  signature: (range) => {
    range.format.font.set({ color: colours.quiet });
    box(range, ["EdgeTop"], colours.ink);
  },
  caution: ({ format }) => format.font.set({ color: colours.caution }),
};

/** Tabs tell what is filled in, what is worked out, what goes out of the house. */
export const tabColours = { input: "#C9A93B", worked: "#7C8B80", paper: "#1E5B33" } as const;

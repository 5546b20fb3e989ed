/**
 * The ways in which the real host is harsher than a spreadsheet that does what it is told at once. Each switch is one
 * documented harshness; all of them off is the host as it is kindest.
 *
 * Some harshness needs no switch, since this host never was kinder: text written as a value is read anew (`007` is the
 * number 7), a leading apostrophe keeps it text and is not read back, and a formula in a cell formatted as text is text.
 */
export interface Harshness {
  /** What a blank cell inside a range reaches a function as: the platforms differ, and none says which it is. */
  readonly blanks: "null" | "zero" | "text";
  /** When a function's answer comes: with the edit, or later - the cell is busy until then, or shows what it showed. */
  readonly answers: "at once" | "busy" | "old";
  /** Calculation is set to manual: nothing follows an edit until it is asked for. */
  readonly manualCalculation: boolean;
  /** A formula written into one cell of a table's column fills the column, where it holds nothing but formulas. */
  readonly calculatedColumns: boolean;
  /**
   * Refuses formulas over 8,192 characters, 64 levels or 255 arguments, texts in them over 255, and texts over 32,767;
   * array constants in the rules of conditional formats and limits, and formulas of limits over 255 characters.
   */
  readonly limits: boolean;
  /** Refuses requests and answers of more than 5 MB. */
  readonly payloads: boolean;
  /** Reports the requirement sets that the manifest asks for, and no other. */
  readonly manifestSets: boolean;
  /** Empties the undo stack with every batch of an add-in. */
  readonly noUndo: boolean;
}

export const kind: Harshness = {
  blanks: "null",
  answers: "at once",
  manualCalculation: false,
  calculatedColumns: false,
  limits: false,
  payloads: false,
  manifestSets: false,
  noUndo: false,
};

export const harsh: Harshness = {
  blanks: "zero",
  answers: "busy",
  manualCalculation: true,
  calculatedColumns: true,
  limits: true,
  payloads: true,
  manifestSets: true,
  noUndo: true,
};

const choices = {
  blanks: ["null", "zero", "text"],
  answers: ["at once", "busy", "old"],
} as const;

/** Reads the switches from a page's address: `?harsh` sets them all, a single name one, `?answers=old` a choice. */
export function harshnessFrom(query: URLSearchParams): Harshness {
  const base = query.has("harsh") ? harsh : kind;
  const asked = Object.keys(kind).flatMap((name): [string, unknown][] => {
    const value = query.get(name);
    if (value === null) return [];
    if (name in choices) {
      const known: readonly string[] = choices[name as keyof typeof choices];
      return known.includes(value) ? [[name, value]] : [];
    }
    return [[name, value !== "no"]];
  });
  return { ...base, ...(Object.fromEntries(asked) as Partial<Harshness>) };
}

/** What a person does beside the add-in, set and taken back while the workbook is open. */
export interface Situation {
  /** A cell is being edited, so that every request is refused. */
  cellEditing: boolean;
  /** The n-th request from now on comes while a cell is edited, and every one after it until this is taken back. */
  editingFrom: number | undefined;
  /** The largest request or answer that is passed on, in bytes, instead of 5 MB. */
  largestPayload: number | undefined;
  /** A picture is selected, so that there is no selected range. */
  pictureSelected: boolean;
  /** The functions take their time: what they owe comes when this is taken back. */
  answersHeld: boolean;
  /** Who looks at a cell waits until it is calculated, so that a test need not say so at each cell. */
  looksWhenCalculated: boolean;
  /** Nobody looks at the cells but who asks for their values: they are worked out then, which is sooner done. */
  worksOutWhenRead: boolean;
}

export const undisturbed: Situation = {
  cellEditing: false,
  editingFrom: undefined,
  largestPayload: undefined,
  pictureSelected: false,
  answersHeld: false,
  looksWhenCalculated: false,
  worksOutWhenRead: false,
};

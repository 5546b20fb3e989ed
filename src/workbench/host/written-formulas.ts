import { quotedSheetName } from "./area";

const STRINGS = /"(?:[^"]|"")*"/g;
const JOINED = String.raw`"[^"]*"(?:&CHAR\(34\)&"[^"]*")+`;
/** The joined form in brackets of its own, or without any; brackets that belong to a call are neither. */
const JOINED_STRINGS = new RegExp(String.raw`(?<![\w.])\((${JOINED})\)|${JOINED}`, "g");

/** What the spreadsheet works out in place of a block that ends in a cell found by INDEX. */
export const FIRST_ROWS = "FIRST.ROWS";
const CELL = String.raw`(\$?[A-Z]{1,3})(\$?[1-9]\d*)`;
const TO_INDEX = new RegExp(String.raw`(?<![\w.!$:])${CELL}:INDEX\(${CELL}:${CELL},`, "i");
const TO_FIRST_ROWS = new RegExp(
  String.raw`(?<![\w.])${FIRST_ROWS.replace(".", "\\.")}\(${CELL}:${CELL},`,
  "i",
);

/** The formula with nothing in its texts that could be taken for a part of it, each letter in its place. */
const withoutTexts = (formula: string): string =>
  formula.replace(STRINGS, (text) => `"${"_".repeat(text.length - 2)}"`);

/** Where the bracket closes that is open at a place of a formula without texts. */
function closingAt(formula: string, from: number): number {
  let depth = 1;
  for (let i = from; i < formula.length; i++) {
    if (formula[i] === "(") depth++;
    if (formula[i] === ")") depth--;
    if (depth === 0) return i;
  }
  return -1;
}

/** Respells every call that a pattern opens; what the respelling leaves alone stays as it is. */
function respelled(
  formula: string,
  pattern: RegExp,
  spell: (parts: readonly string[], rest: string) => string | undefined,
): string {
  const bare = withoutTexts(formula);
  const found = pattern.exec(bare);
  if (found === null) return formula;
  const [opened, ...parts] = found;
  const start = found.index + opened.length;
  const close = closingAt(bare, start);
  const rest = (text: string) => respelled(text, pattern, spell);
  if (close < 0) return formula;
  const spelled = spell(parts, rest(formula.slice(start, close)));
  const before = formula.slice(0, found.index);
  return spelled === undefined
    ? before + opened + rest(formula.slice(start))
    : `${before}${spelled})${rest(formula.slice(close + 1))}`;
}

/** The spreadsheet has no range that ends in a function; the one of a block's first rows is worked out for it. */
const withFirstRows = (formula: string): string =>
  respelled(formula, TO_INDEX, ([left, top, right, first, below, bottom], rows) =>
    top === first && right === below ? `${FIRST_ROWS}(${left}${top}:${right}${bottom},${rows}` : undefined,
  );

const withIndex = (formula: string): string =>
  respelled(
    formula,
    TO_FIRST_ROWS,
    ([left, top, right, bottom], rows) => `${left}${top}:INDEX(${right}${top}:${right}${bottom},${rows}`,
  );

/** A reference that is gone, which the spreadsheet spells without the exclamation mark; a text is passed over. */
const LOST = /"(?:[^"]|"")*"|#REF!?/g;

const lostAs = (spelling: string, formula: string): string =>
  formula.replace(LOST, (part) => (part.startsWith("#") ? spelling : part));

/** The spreadsheet knows no quotation mark inside a string, which the host doubles: it is joined in as a character. */
export const spreadsheetSpelling = (formula: string): string =>
  withFirstRows(lostAs("#REF", formula)).replace(STRINGS, (text) => {
    const parts = text.slice(1, -1).split('""');
    return parts.length === 1 ? text : `("${parts.join('"&CHAR(34)&"')}")`;
  });

/** Texts, references that are gone and quoted sheet names are passed over; what is left before a mark is a sheet's name. */
const SHEET = /"(?:[^"]|"")*"|'(?:[^']|'')*'|#REF!|(\w+)!/g;

/** The spreadsheet leaves the quotes of every name away that is letters and figures, also of TRUE, 2026 and R1C1. */
const withQuotes = (formula: string): string =>
  formula.replace(SHEET, (part, name?: string) => (name === undefined ? part : `${quotedSheetName(name)}!`));

export const hostSpelling = (formula: string): string =>
  withQuotes(withIndex(lostAs("#REF!", formula))).replace(JOINED_STRINGS, (text, inBrackets?: string) =>
    (inBrackets ?? text).replaceAll('"&CHAR(34)&"', '""'),
  );

/**
 * The spreadsheet tidies a formula when it reads it: references become capitals, spaces round them go. What was
 * written is kept beside it and answered for as long as the cell still holds the tidied form.
 */
export class WrittenFormulas {
  private readonly byCell = new Map<number, { written: string; tidied: string }>();

  remember(cellId: number, written: string, tidied: string): void {
    if (written === tidied) this.byCell.delete(cellId);
    else this.byCell.set(cellId, { written, tidied });
  }

  asWritten(cellId: number, tidied: string): string {
    const known = this.byCell.get(cellId);
    return known?.tidied === tidied ? known.written : hostSpelling(tidied);
  }
}

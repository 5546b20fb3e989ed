const STRINGS = /"(?:[^"]|"")*"/g;
const JOINED = String.raw`"[^"]*"(?:&CHAR\(34\)&"[^"]*")+`;
/** The joined form in brackets of its own, or without any; brackets that belong to a call are neither. */
const JOINED_STRINGS = new RegExp(String.raw`(?<![\w.])\((${JOINED})\)|${JOINED}`, "g");

/** A reference that is gone, which the spreadsheet spells without the exclamation mark; a text is passed over. */
const LOST = /"(?:[^"]|"")*"|#REF!?/g;

const lostAs = (spelling: string, formula: string): string =>
  formula.replace(LOST, (part) => (part.startsWith("#") ? spelling : part));

/** The spreadsheet knows no quotation mark inside a string, which the host doubles: it is joined in as a character. */
export const spreadsheetSpelling = (formula: string): string =>
  lostAs("#REF", formula).replace(STRINGS, (text) => {
    const parts = text.slice(1, -1).split('""');
    return parts.length === 1 ? text : `("${parts.join('"&CHAR(34)&"')}")`;
  });

export const hostSpelling = (formula: string): string =>
  lostAs("#REF!", formula).replace(JOINED_STRINGS, (text, inBrackets?: string) =>
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

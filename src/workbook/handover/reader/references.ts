/** Which formulas of a page stay formulas: those that read nothing but what is in the file. */
import { tokenize } from "@borgar/fx";
import { isReference } from "../../formulas";
import type { Block } from "../../host";
import { blockOf, placeOf } from "../../host";

export interface InFile {
  /** Whether every cell of a block that holds something is in the file. */
  holds(sheet: string, block: Block): boolean;
  /** What a name stands for, as a formula with its sign; undefined for none. */
  name(name: string, home: string): string | undefined;
  /** Whether a text tells a figure or a name of what is left out. */
  tells(text: string): boolean;
}

/** Functions that find their cells only when they are calculated, or that tell of the file around them. */
const unseen = new Set([
  "INDIRECT",
  "OFFSET",
  "CELL",
  "INFO",
  "GETPIVOTDATA",
  "RTD",
  "WEBSERVICE",
  "EVALUATE",
]);

/** Names that stand for names, and so on: nobody's are nested as deep. */
const deepest = 8;

export function staysFormula(formula: string, home: string, file: InFile, depth = 0): boolean {
  if (depth > deepest) return false;
  const tokens = tokenize(formula, { mergeRefs: true });
  return tokens.every(({ type, value }) => {
    if (type === "func") return !unseen.has(value.toUpperCase().replace(/^_XLFN\./, ""));
    if (type === "range_named") {
      const meant = file.name(value, home);
      return meant !== undefined && staysFormula(meant, home, file, depth + 1);
    }
    // A share may be written with its sign or without.
    if (type === "number") return !file.tells(value) && !file.tells(`${value}%`);
    if (type === "string") return !file.tells(value);
    if (type === "structured" || type === "range_ternary") return false;
    if (type !== "range" && type !== "range_beam") return type !== "unknown";
    return isReference(value) && isHeld(value, home, file);
  });
}

function isHeld(reference: string, home: string, file: InFile): boolean {
  const place = placeOf(reference, home);
  const block = place === undefined ? undefined : blockOf(place.address);
  // Another workbook's sheet, and a stretch of sheets, are written with brackets or a colon before the mark.
  const sheetPart = reference.includes("!") ? reference.slice(0, reference.lastIndexOf("!")) : "";
  return (
    place !== undefined && block !== undefined && !/[[\]:]/.test(sheetPart) && file.holds(place.sheet, block)
  );
}

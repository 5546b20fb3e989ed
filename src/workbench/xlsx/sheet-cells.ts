import { parseZone } from "../host/area";
import type { Book, CellReading } from "../host/book";
import type { Zone } from "../host/spreadsheet";
import { hostSpelling } from "../host/written-formulas";
import { all, create, escaped, first, holdsUnwritable } from "./dom";
import { callsOurs, toStored } from "./function-names";

/** An operator beside a range: such a formula calculates with arrays and must be stored as one that may. */
const CALCULATES_WITH_ARRAYS =
  /[-+*/^&=<>]\s*(?:'[^']+'!|[\w.]+!)?\$?[A-Z]{1,3}\$?\d*:|:\$?[A-Z]{1,3}\$?\d*\s*[-+*/^&=<>]/i;

/** Corrects what the spreadsheet wrote into a sheet's cells. */
export function correctCells(book: Book, sheetId: string, sheet: Document): void {
  const byName = new Map(all(sheet, "c").map((cell) => [cell.getAttribute("r") ?? "", cell]));
  for (const [name, cell] of byName) {
    const zone = parseZone(name);
    if (!zone) continue;
    const formula = first(cell, "f");
    if (formula) {
      const position = { sheetId, col: zone.left, row: zone.top };
      const text = asWritten(book.formula(position), formula.textContent ?? "");
      correctFormula(cell, formula, text, book.read(position));
    } else correctLiteral(book, sheetId, zone, sheet, cell);
  }
}

/** A newer function stands in a file under a longer name. */
const NEWER = "_xlfn.";

/**
 * A formula as it was written, its newer functions under their names in a file. The spreadsheet writes it anew: it drops
 * brackets and turns texts that look like dates into other ones.
 */
function asWritten(written: string | null, exported: string): string {
  if (written === null) return hostSpelling(exported);
  const newer = new Set([...exported.matchAll(/_xlfn\.([\w.]+)(?=\()/g)].map(([, name]) => name));
  const words = /"(?:[^"]|"")*"|'(?:[^']|'')*'|\b([A-Z][\w.]*)(?=\s*\()/gi;
  return written
    .slice(1)
    .replace(words, (word, name?: string) => (newer.has(name?.toUpperCase()) ? `${NEWER}${word}` : word));
}

function correctFormula(cell: Element, formula: Element, text: string, shown: CellReading): void {
  const spills = formula.getAttribute("ref") !== cell.getAttribute("r");
  formula.textContent = toStored(text);
  // The host stores its own functions, which may spill, as dynamic arrays; any other only where it must.
  if (!spills && !callsOurs(text) && !CALCULATES_WITH_ARRAYS.test(text)) {
    formula.removeAttribute("t");
    formula.removeAttribute("ref");
    cell.removeAttribute("cm");
  }
  const value = first(cell, "v");
  if (!value || cell.getAttribute("t") !== "str") return;
  if (shown.isError) putErrorType(cell, value);
  // The spreadsheet leaves out what a file cannot hold.
  else value.textContent = escaped(String(shown.value));
}

const STORED_ERRORS: Readonly<Record<string, string>> = {
  "#REF": "#REF!",
  "#ERROR": "#VALUE!",
  "#BAD_EXPR": "#NAME?",
  "#SPILL!": "#VALUE!",
};
const ERRORS = new Set(["#VALUE!", "#N/A", "#DIV/0!", "#NUM!", "#NULL!", "#NAME?", "#REF!"]);

function putErrorType(cell: Element, value: Element): void {
  const text = value.textContent ?? "";
  const error = STORED_ERRORS[text] ?? text;
  if (!ERRORS.has(error)) return;
  cell.setAttribute("t", "e");
  value.textContent = error;
}

function correctLiteral(book: Book, sheetId: string, zone: Zone, sheet: Document, cell: Element): void {
  const position = { sheetId, col: zone.left, row: zone.top };
  const content = book.getters.getCell(position);
  const { value, isError } = book.read(position);
  const isCorrected =
    content?.isFormula === false && (content.content.startsWith("'") || holdsUnwritable(content.content));
  // Spilled values come without a value, text after an apostrophe with it, and what a file cannot hold not at all.
  if (!isCorrected && (content?.isFormula === false ? content.content : value === "")) return;
  first(cell, "v")?.remove();
  if (isError) {
    cell.setAttribute("t", "e");
    cell.append(create(sheet, "v", {}, String(value)));
  } else if (typeof value === "string") {
    cell.setAttribute("t", "inlineStr");
    const text = create(sheet, "t", { "xml:space": "preserve" }, escaped(value));
    const inline = create(sheet, "is");
    inline.append(text);
    cell.append(inline);
  } else {
    cell.setAttribute("t", typeof value === "boolean" ? "b" : "n");
    cell.append(create(sheet, "v", {}, String(Number(value))));
  }
}

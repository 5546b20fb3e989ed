/** A sheet's part of a workbook file: its cells read, and chosen formulas rewritten with every other character kept. */
import { translateFormulaToA1, translateFormulaToR1C1 } from "@borgar/fx";
import type { Scalar } from "../../evaluate";
import { blockOf, cellAddress } from "../../reference";
import { asTyped } from "../../repair";
import type { CellContent, SheetCells } from "../../sheets";
import { attributesOf, escapeXml, unescapeXml } from "./package-parts";

const cellElement = /<((?:\w+:)?)c\b([^>]*?)(?:\/>|>([\s\S]*?)<\/\1c>)/g;
const rowOrCell = /<(?:\w+:)?row\b[^>]*>|<((?:\w+:)?)c\b([^>]*?)(?:\/>|>([\s\S]*?)<\/\1c>)/g;
const formulaElement = /<((?:\w+:)?)f\b([^>]*?)(?:\/>|>([\s\S]*?)<\/\1f>)/;
const valueElement = /<((?:\w+:)?)v\b[^>]*>([\s\S]*?)<\/\1v>/;
const textElement = /<((?:\w+:)?)t\b[^>]*>([\s\S]*?)<\/\1t>/g;

export interface FileCell {
  readonly row: number;
  readonly column: number;
  /** As typed: a formula begins with "=". */
  readonly formula: string;
  readonly value: Scalar;
}

interface SharedFormula {
  readonly formula: string;
  readonly at: string;
}

/** Texts of a `si` or an inline string, its runs joined. */
export const joinedTexts = (xml: string): string =>
  [...xml.matchAll(textElement)].map(([, , text = ""]) => unescapeXml(text)).join("");

function valueOf(type: string | undefined, inner: string, strings: readonly string[]): Scalar {
  if (type === "inlineStr") return joinedTexts(inner);
  const text = valueElement.exec(inner)?.[2];
  if (text === undefined) return null;
  if (type === "s") return strings[Number(text)] ?? "";
  if (type === "b") return text === "1";
  if (type === "str" || type === "e" || type === "d") return unescapeXml(text);
  return Number(text);
}

/** Every cell of the part, in order; a formula shared from another cell is written out. */
export function readCells(xml: string, strings: readonly string[]): readonly FileCell[] {
  const cells: FileCell[] = [];
  const shared = new Map<string, SharedFormula>();
  let row = -1;
  let column = -1;
  for (const [tag, , cellTag, inner = ""] of xml.matchAll(rowOrCell)) {
    if (cellTag === undefined) {
      const { r } = attributesOf(tag);
      row = r === undefined ? row + 1 : Number(r) - 1;
      column = -1;
      continue;
    }
    const { r, t } = attributesOf(cellTag);
    const place = r === undefined ? undefined : blockOf(r);
    row = place?.top ?? row;
    column = place?.left ?? column + 1;
    const value = valueOf(t, inner, strings);
    const formula = formulaOf(inner, cellAddress(row, column), shared);
    const typed = formula === "" ? (value === null ? "" : String(value)) : formula;
    if (typed !== "") cells.push({ row, column, formula: typed, value });
  }
  return cells;
}

function formulaOf(inner: string, at: string, shared: Map<string, SharedFormula>): string {
  const element = formulaElement.exec(inner);
  if (element === null) return "";
  const { t, si } = attributesOf(element[2] ?? "");
  const text = element[3] === undefined || element[3] === "" ? "" : `=${asTyped(unescapeXml(element[3]))}`;
  if (t !== "shared" || si === undefined) return text;
  if (text !== "") {
    shared.set(si, { formula: text, at });
    return text;
  }
  const master = shared.get(si);
  if (master === undefined) return "";
  return translateFormulaToA1(translateFormulaToR1C1(master.formula, master.at), at);
}

const blank: CellContent = { formula: "", value: null };

/** The cells as the rest of the hand-over reads them; gaps stay gaps, so that one far cell costs nothing. */
export function asSheet(name: string, cells: readonly FileCell[]): SheetCells {
  const rows: CellContent[][] = [];
  let width = 0;
  for (const { row, column, formula, value } of cells) {
    const line = (rows[row] ??= []);
    line[column] = { formula, value };
    width = Math.max(width, column + 1);
  }
  return { name, top: 0, left: 0, width, rows: rows.length === 0 ? [[blank]] : rows };
}

/** The part with the formulas of some cells replaced, by a formula or by the value that they show. */
export function rewriteCells(xml: string, rewritten: ReadonlyMap<string, string | null>): string {
  if (rewritten.size === 0) return xml;
  return xml.replace(cellElement, (whole, prefix: string, cellTag: string, inner: string | undefined) => {
    const { r } = attributesOf(cellTag);
    const native = r === undefined ? undefined : rewritten.get(r);
    if (native === undefined || inner === undefined) return whole;
    if (native === null) return whole.replace(formulaElement, "").replace(/\scm="\d+"/, "");
    const text = escapeXml(native.replace(/^=/, ""));
    // A cell of a spill holds no formula of its own until now.
    if (!formulaElement.test(inner))
      return `<${prefix}c${cellTag}><${prefix}f>${text}</${prefix}f>${inner}</${prefix}c>`;
    return whole.replace(formulaElement, (_element, prefixOfFormula: string, tag: string) => {
      const { t, ref } = attributesOf(tag);
      const kept = t === "array" && ref !== undefined && !ref.includes(":") ? ` t="array" ref="${ref}"` : "";
      return `<${prefixOfFormula}f${kept}>${text}</${prefixOfFormula}f>`;
    });
  });
}

export interface FileLimit {
  readonly address: string;
  readonly rule: { readonly list: string } | { readonly formula: string };
  readonly message: string;
}

const validationElement = /<((?:\w+:)?)dataValidation\b([^>]*?)(?:\/>|>)/g;

/** The ranges that have a validation of the estimator's own. */
export const validatedRanges = (xml: string): readonly string[] =>
  [...xml.matchAll(validationElement)].flatMap(([, , tag = ""]) =>
    (attributesOf(tag).sqref ?? "").split(/\s+/),
  );

/** What may stand before the validations in a sheet's part, in the order of the standard (ISO/IEC 29500-1, CT_Worksheet). */
const before =
  "sheetData|sheetCalcPr|sheetProtection|protectedRanges|scenarios|autoFilter|sortState|dataConsolidate|customSheetViews|mergeCells|phoneticPr|conditionalFormatting";
const lastBefore = new RegExp(
  `^[\\s\\S]*(?:<\\/(?:\\w+:)?(?:${before})>|<(?:\\w+:)?(?:${before})\\b[^>]*\\/>)`,
);

function validation(prefix: string, { address, rule, message }: FileLimit): string {
  const [type, formula] =
    "list" in rule ? ["list", `"${rule.list}"`] : ["custom", rule.formula.replace(/^=/, "")];
  return (
    `<${prefix}dataValidation type="${type}" allowBlank="1" showInputMessage="1" showErrorMessage="1" ` +
    `errorTitle="What belongs in this cell" error="${escapeXml(message)}" sqref="${address}">` +
    `<${prefix}formula1>${escapeXml(formula)}</${prefix}formula1></${prefix}dataValidation>`
  );
}

/** The part with limits added to those that it has. */
export function addLimits(xml: string, limits: readonly FileLimit[]): string {
  if (limits.length === 0) return xml;
  const prefix = /<((?:\w+:)?)worksheet\b/.exec(xml)?.[1] ?? "";
  const added = limits.map((limit) => validation(prefix, limit)).join("");
  const present = new RegExp(`<${prefix}dataValidations\\b([^>]*)>`).exec(xml);
  if (present !== null) {
    const count = Number(attributesOf(present[1] ?? "").count ?? 0) + limits.length;
    const tag = present[0].replace(/\bcount="\d+"/, `count="${count}"`);
    return xml
      .replace(present[0], tag)
      .replace(`</${prefix}dataValidations>`, `${added}</${prefix}dataValidations>`);
  }
  const end = lastBefore.exec(xml)?.[0].length;
  if (end === undefined) return xml;
  const all = `<${prefix}dataValidations count="${limits.length}">${added}</${prefix}dataValidations>`;
  return xml.slice(0, end) + all + xml.slice(end);
}

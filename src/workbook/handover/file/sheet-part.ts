/** A sheet's part of a workbook file: its cells read, and chosen ones rewritten with every other character kept. */
import { translateFormulaToA1, translateFormulaToR1C1 } from "@borgar/fx";
import type { Scalar } from "../../evaluate";
import { limitTitle } from "../../limits";
import type { Pieces } from "../../progress";
import type { Block } from "../../reference";
import { blockOf, cellAddress } from "../../reference";
import { asTyped } from "../../repair";
import type { CellContent, SheetCells } from "../../sheets";
import { WorkbookTrouble } from "../../trouble";
import type { Splice, XmlElement } from "./xml";
import { appended, escapeXml, spliced, walking } from "./xml";

/** A formula that fills several cells, or that may. */
export interface FormulaArray {
  readonly block: Block;
  /** Grows and shrinks with its answer; one that does not was entered over a chosen block. */
  readonly dynamic: boolean;
}

export interface FileCell {
  readonly row: number;
  readonly column: number;
  /** As typed: a formula begins with "=". */
  readonly formula: string;
  /** Null where the file has none, which for a formula means that nothing has calculated it yet. */
  readonly value: Scalar;
  readonly array?: FormulaArray;
}

/** A formula's element, of which a sheet may hold a great many: no more of it than is needed. */
interface FormulaPlace {
  readonly start: number;
  readonly end: number;
  readonly prefix: string;
  /** The block of an array, as the file spells it. */
  readonly ref: string | undefined;
}

interface PlacedCell extends FileCell {
  readonly start: number;
  readonly end: number;
  readonly formulaPlace: FormulaPlace | undefined;
}

interface PlacedRow {
  readonly row: number;
  readonly start: number;
  readonly inside: number;
  readonly insideEnd: number;
  readonly single: boolean;
}

/** A formula that is no cell's: of a validation, a conditional format, or another drawing inside the cells. */
export interface LooseFormula {
  readonly formula: string;
  readonly kind: "validation" | "conditional format" | "other";
  readonly at: string;
  readonly element: XmlElement;
}

/** As large as a sheet can be. */
const grid = { rows: 1_048_576, columns: 16_384 } as const;

/** What may stand in a sheet's part, in the order of the standard (ISO/IEC 29500-1, CT_Worksheet). */
const order =
  "sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr sheetProtection protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells phoneticPr conditionalFormatting dataValidations hyperlinks printOptions pageMargins pageSetup headerFooter rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing legacyDrawingHF drawingHF picture oleObjects controls webPublishItems tableParts extLst".split(
    " ",
  );

export interface FileLimit {
  readonly address: string;
  readonly rule: { readonly list: string } | { readonly formula: string };
  readonly message: string;
}

export class SheetPart {
  private readonly placed = new Map<number, PlacedCell>();
  private readonly rows: PlacedRow[] = [];
  private readonly top: XmlElement[] = [];
  private root: XmlElement | undefined;
  private readonly splices: Splice[] = [];
  /** Cells that the file lacks and that are wanted now, by row. */
  private readonly added = new Map<number, { column: number; inside: string }[]>();
  readonly validatedRanges: string[] = [];
  readonly looseFormulas: LooseFormula[] = [];

  private constructor(
    readonly name: string,
    private readonly xml: string,
  ) {}

  static *reading(name: string, xml: string, strings: readonly string[]): Pieces<SheetPart> {
    const part = new SheetPart(name, xml);
    yield* new SheetReader(name, xml, strings).reading({
      root: (element) => (part.root = element),
      top: (element) => part.top.push(element),
      row: (row) => part.rows.push(row),
      cell: (cell) => part.place(cell),
      validated: (ranges) => part.validatedRanges.push(...ranges),
      loose: (formula) => part.looseFormulas.push(formula),
    });
    if (part.root?.name !== "worksheet" || !part.top.some(({ name: top }) => top === "sheetData"))
      refuse(name, "is not a sheet's: save the file again from Excel, then hand over.");
    return part;
  }

  private place(cell: PlacedCell): void {
    const key = placeKey(cell.row, cell.column);
    if (this.placed.has(key)) {
      const address = cellAddress(cell.row, cell.column);
      refuse(this.name, `holds the cell ${address} twice: save the file again from Excel, then hand over.`);
    }
    this.placed.set(key, cell);
  }

  get cells(): readonly FileCell[] {
    return [...this.placed.values()];
  }

  /** A formula in place of the cell's own, or in a cell that had none; what the cell shows stays. */
  putFormula(row: number, column: number, formula: string, partOfSpill: boolean): void {
    const cell = this.placed.get(placeKey(row, column));
    const text = escapeXml(formula.replace(/^=/, ""));
    if (cell === undefined) {
      this.addCell(row, column, (prefix) => `<${prefix}f>${text}</${prefix}f>`);
      return;
    }
    const { formulaPlace } = cell;
    const tag = this.startTag(cell);
    const prefix = formulaPlace?.prefix ?? tag.prefix;
    const kept = partOfSpill ? undefined : formulaPlace?.ref;
    const array = kept === undefined ? "" : ` t="array" ref="${escapeXml(kept)}"`;
    const put = `<${prefix}f${array}>${text}</${prefix}f>`;
    if (kept === undefined) this.dropArrayMark(cell, tag);
    if (formulaPlace !== undefined) {
      this.splices.push({ start: formulaPlace.start, end: formulaPlace.end, text: put });
    } else if (tag.single) {
      const opened = tag.text.replace(/\s*\/>$/, ">");
      this.splices.push({ start: cell.start, end: cell.end, text: `${opened}${put}</${prefix}c>` });
    } else {
      this.splices.push({ start: tag.inside, end: tag.inside, text: put });
    }
  }

  /** The cell without its formula; `value` is for one that shows nothing yet. */
  putValue(row: number, column: number, value: string | number): void {
    const cell = this.placed.get(placeKey(row, column));
    const content = (prefix: string): string =>
      typeof value === "number"
        ? `<${prefix}v>${value}</${prefix}v>`
        : `<${prefix}is><${prefix}t xml:space="preserve">${escapeXml(value)}</${prefix}t></${prefix}is>`;
    const type = typeof value === "number" ? "" : ' t="inlineStr"';
    if (cell === undefined) {
      this.addCell(row, column, content, type);
      return;
    }
    const tag = this.startTag(cell);
    if (cell.value !== null || value === "") {
      this.dropArrayMark(cell, tag);
      if (cell.formulaPlace !== undefined)
        this.splices.push({ start: cell.formulaPlace.start, end: cell.formulaPlace.end, text: "" });
      return;
    }
    const look = /\ss\s*=\s*["']\d+["']/.exec(tag.text)?.[0] ?? "";
    const start = `<${tag.prefix}c r="${cellAddress(row, column)}"${look}${type}>`;
    this.splices.push({
      start: cell.start,
      end: cell.end,
      text: `${start}${content(tag.prefix)}</${tag.prefix}c>`,
    });
  }

  private startTag({ start, end }: PlacedCell): {
    readonly text: string;
    readonly prefix: string;
    readonly inside: number;
    readonly single: boolean;
  } {
    const tag = /^<((?:[^\s<>/:]+:)?)c\b(?:[^<>"']|"[^"]*"|'[^']*')*>/.exec(this.xml.slice(start, end));
    const [text = "", prefix = ""] = tag ?? [];
    return { text, prefix, inside: start + text.length, single: text.endsWith("/>") };
  }

  /** A cell without an array of its own must not be marked as one that grows. */
  private dropArrayMark({ start }: PlacedCell, tag: { readonly text: string }): void {
    const mark = /\scm\s*=\s*(?:"[^"]*"|'[^']*')/.exec(tag.text);
    if (mark === null) return;
    const at = start + mark.index;
    this.splices.push({ start: at, end: at + mark[0].length, text: "" });
  }

  private addCell(row: number, column: number, content: (prefix: string) => string, type = ""): void {
    const prefix = this.root?.prefix ?? "";
    const inside = `<${prefix}c r="${cellAddress(row, column)}"${type}>${content(prefix)}</${prefix}c>`;
    const inRow = this.added.get(row) ?? [];
    inRow.push({ column, inside });
    this.added.set(row, inRow);
  }

  private addedCells(): readonly Splice[] {
    if (this.added.size === 0) return [];
    const prefix = this.root?.prefix ?? "";
    const data = this.top.find(({ name }) => name === "sheetData");
    const byRow = new Map(this.rows.map((one) => [one.row, one]));
    const besides = new Map<number, PlacedCell[]>();
    for (const cell of this.placed.values()) {
      if (!this.added.has(cell.row)) continue;
      const here = besides.get(cell.row) ?? [];
      here.push(cell);
      besides.set(cell.row, here);
    }
    const ordered = [...this.added].sort(([a], [b]) => a - b);
    return ordered.flatMap(([row, cells]): readonly Splice[] => {
      const inOrder = [...cells].sort((a, b) => a.column - b.column);
      const all = inOrder.map(({ inside }) => inside).join("");
      const there = byRow.get(row);
      if (there === undefined) {
        const text = `<${prefix}row r="${row + 1}">${all}</${prefix}row>`;
        const next = this.rows.find((one) => one.row > row);
        if (next !== undefined) return [{ start: next.start, end: next.start, text }];
        return data === undefined ? [] : [appended(this.xml, data, text)];
      }
      if (there.single) {
        const tag = this.xml.slice(there.start, there.inside).replace(/\s*\/>$/, ">");
        return [{ start: there.start, end: there.inside, text: `${tag}${all}</${prefix}row>` }];
      }
      return inOrder.map(({ column, inside }) => {
        const after = (besides.get(row) ?? []).filter((other) => other.column > column);
        const start = Math.min(there.insideEnd, ...after.map((other) => other.start));
        return { start, end: start, text: inside };
      });
    });
  }

  putLoose({ element }: LooseFormula, formula: string): void {
    this.splices.push({
      start: element.inside,
      end: element.insideEnd,
      text: escapeXml(formula.replace(/^=/, "")),
    });
  }

  addLimits(limits: readonly FileLimit[]): void {
    if (limits.length === 0) return;
    const prefix = this.root?.prefix ?? "";
    const added = limits.map((limit) => validation(prefix, limit)).join("");
    const present = this.top.find(({ name }) => name === "dataValidations");
    if (present === undefined) {
      const all = `<${prefix}dataValidations count="${limits.length}">${added}</${prefix}dataValidations>`;
      this.insertTop("dataValidations", all);
      return;
    }
    const count = Number(present.attributes.count ?? 0) + limits.length;
    const tag = this.xml
      .slice(present.start, present.inside)
      .replace(/\scount\s*=\s*(?:"\d*"|'\d*')/, ` count="${count}"`);
    const opened = present.single ? tag.replace(/\s*\/>$/, ">") : tag;
    const closing = present.single ? `</${prefix}dataValidations>` : "";
    this.splices.push({ start: present.start, end: present.inside, text: opened });
    this.splices.push({ start: present.insideEnd, end: present.insideEnd, text: added + closing });
  }

  /** An element right inside the sheet's, where the standard wants it. */
  insertTop(name: string, text: string): void {
    const rank = order.indexOf(name);
    const next = this.top.find((other) => order.indexOf(other.name) > rank);
    const start = next?.start ?? this.root?.insideEnd ?? 0;
    this.splices.push({ start, end: start, text });
  }

  topElement(name: string): XmlElement | undefined {
    return this.top.find((element) => element.name === name);
  }

  /** Names the namespace that relations of the part are spelt in, and declares it where the part does not. */
  get relationPrefix(): { readonly prefix: string; readonly declaration: string } {
    const known = Object.entries(this.root?.attributes ?? {}).find(
      ([name, value]) => name.startsWith("xmlns:") && relationNamespaces.has(value),
    );
    if (known !== undefined) return { prefix: known[0].slice("xmlns:".length), declaration: "" };
    return { prefix: "r", declaration: ` xmlns:r="${[...relationNamespaces][0] ?? ""}"` };
  }

  get prefix(): string {
    return this.root?.prefix ?? "";
  }

  get isChanged(): boolean {
    return this.splices.length > 0 || this.added.size > 0;
  }

  /** The part as it is to be now. */
  get text(): string {
    return this.isChanged ? spliced(this.xml, [...this.splices, ...this.addedCells()]) : this.xml;
  }
}

const relationNamespaces = new Set([
  "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
  "http://purl.oclc.org/ooxml/officeDocument/relationships",
]);

const refuse = (part: string, why: string): never => {
  throw new WorkbookTrouble(`The file's part ${part} ${why}`);
};

interface Findings {
  root(element: XmlElement): void;
  top(element: XmlElement): void;
  row(row: PlacedRow): void;
  cell(cell: PlacedCell): void;
  validated(ranges: readonly string[]): void;
  loose(formula: LooseFormula): void;
}

interface OpenCell {
  readonly element: XmlElement;
  readonly row: number;
  readonly column: number;
  formula?: XmlElement;
  value?: string;
  texts?: string[];
}

/** A cell whose formula may be another's, to be written out once all are read. */
interface ReadCell {
  readonly row: number;
  readonly column: number;
  readonly value: Scalar;
  readonly start: number;
  readonly end: number;
  readonly dynamic: boolean;
  readonly formula: ReadFormula | undefined;
}

interface ReadFormula {
  readonly start: number;
  readonly end: number;
  readonly prefix: string;
  readonly text: string;
  readonly type: string | undefined;
  readonly ref: string | undefined;
  readonly shared: string | undefined;
  readonly inputs: readonly string[];
}

function readFormula({ start, end, prefix, text, attributes }: XmlElement): ReadFormula {
  const { t, ref, si, r1, r2 } = attributes;
  const inputs = [r1, r2].filter((one) => one !== undefined);
  return { start, end, prefix, text, type: t, ref, shared: si, inputs };
}

const readCell = (cell: OpenCell, strings: readonly string[]): ReadCell => ({
  row: cell.row,
  column: cell.column,
  value: valueOf(cell, strings),
  start: cell.element.start,
  end: cell.element.end,
  dynamic: cell.element.attributes.cm !== undefined,
  formula: cell.formula === undefined ? undefined : readFormula(cell.formula),
});

/** One number for the place of a cell. */
export const placeKey = (row: number, column: number): number => row * grid.columns + column;

/** Cells whose formulas are written out at a time, in a few milliseconds. */
const cellsAtATime = 100;

const looseNames = new Set(["formula", "formula1", "formula2", "f"]);

class SheetReader {
  private row = -1;
  private column = -1;
  private open: OpenCell | undefined;
  private readonly found: ReadCell[] = [];
  private readonly loose: XmlElement[] = [];

  constructor(
    private readonly part: string,
    private readonly xml: string,
    private readonly strings: readonly string[],
  ) {}

  *reading(findings: Findings): Pieces<void> {
    yield* walking(this.part, this.xml, {
      open: (element) => this.opened(element, findings),
      close: (element) => this.closed(element, findings),
    });
    const shared = this.sharedFormulas();
    for (const [i, cell] of this.found.entries()) {
      if (i % cellsAtATime === 0) yield i / this.found.length;
      findings.cell(this.placed(cell, shared));
    }
    for (const element of this.loose) findings.loose(looseFormula(element));
  }

  private opened(element: XmlElement, findings: Findings): void {
    if (element.parent === undefined) findings.root(element);
    else if (element.parent.parent === undefined) findings.top(element);
    const inData = element.parent?.name === "sheetData" && element.parent.parent?.parent === undefined;
    if (element.name === "row" && inData) {
      const { r } = element.attributes;
      this.row = r === undefined ? this.row + 1 : Number(r) - 1;
      this.column = -1;
      if (!Number.isInteger(this.row) || this.row < 0 || this.row >= grid.rows) this.outside(`row ${r}`);
    } else if (element.name === "c" && element.parent?.name === "row") this.openCell(element);
  }

  private openCell(element: XmlElement): void {
    const { r } = element.attributes;
    const place = r === undefined ? undefined : blockOf(r);
    if (r !== undefined && (place === undefined || place.top !== place.bottom || place.top !== this.row))
      this.outside(`cell ${r}`);
    this.column = place?.left ?? this.column + 1;
    if (this.column >= grid.columns) this.outside(`cell ${r}`);
    this.open = { element, row: this.row, column: this.column };
  }

  private outside(what: string | undefined): never {
    return refuse(this.part, `has a ${what?.slice(0, 30)} where no sheet has one: it is not opened.`);
  }

  private closed(element: XmlElement, findings: Findings): void {
    const { open } = this;
    if (open !== undefined) {
      if (element.parent === open.element && element.name === "f") open.formula = element;
      else if (element.parent === open.element && element.name === "v") open.value = element.text;
      else if (element.name === "t" && element.parent?.name !== "rPh") (open.texts ??= []).push(element.text);
      else if (element === open.element) {
        this.found.push(readCell(open, this.strings));
        this.open = undefined;
      }
      return;
    }
    if (element.name === "row" && element.parent?.name === "sheetData") {
      const { start, inside, insideEnd, single } = element;
      findings.row({ row: this.row, start, inside, insideEnd, single });
    }
    if (element.name === "dataValidation" && element.attributes.sqref !== undefined)
      findings.validated(element.attributes.sqref.split(/\s+/));
    if (element.name === "sqref" && element.parent?.name === "dataValidation")
      findings.validated(element.text.split(/\s+/));
    if (looseNames.has(element.name)) this.loose.push(element);
  }

  /** Shared formulas are written once, and the cell that writes one may stand behind those that share it. */
  private sharedFormulas(): ReadonlyMap<string, { formula: string; at: string }> {
    return new Map(
      this.found.flatMap(({ formula, row, column }) => {
        if (formula?.type !== "shared" || formula.shared === undefined || formula.text === "") return [];
        const written = { formula: `=${asTyped(formula.text)}`, at: cellAddress(row, column) };
        return [[formula.shared, written] as const];
      }),
    );
  }

  private placed(cell: ReadCell, shared: ReadonlyMap<string, { formula: string; at: string }>): PlacedCell {
    const { row, column, value, start, end, formula } = cell;
    const array = arrayOf(cell);
    const { prefix = "", type, ref } = formula ?? {};
    return {
      row,
      column,
      formula: formula === undefined ? "" : this.formulaText(formula, cellAddress(row, column), shared),
      value,
      ...(array === undefined ? {} : { array }),
      start,
      end,
      formulaPlace:
        formula === undefined
          ? undefined
          : { start: formula.start, end: formula.end, prefix, ref: type === "array" ? ref : undefined },
    };
  }

  private formulaText(
    { type, text, shared: id, inputs }: ReadFormula,
    at: string,
    shared: ReadonlyMap<string, { formula: string; at: string }>,
  ): string {
    if (type === "dataTable") return `=TABLE(${inputs.join(",")})`;
    if (text !== "") return `=${asTyped(text)}`;
    if (type !== "shared" || id === undefined) return "";
    const first = shared.get(id);
    if (first === undefined)
      return refuse(
        this.part,
        `has an empty formula in ${at}: save the file again from Excel, then hand over.`,
      );
    return translateFormulaToA1(translateFormulaToR1C1(first.formula, first.at), at);
  }
}

function arrayOf({ dynamic, formula }: ReadCell): FormulaArray | undefined {
  const fills = formula?.type === "array" || formula?.type === "dataTable";
  const block = fills ? blockOf(formula.ref ?? "") : undefined;
  return block === undefined ? undefined : { block, dynamic };
}

function valueOf({ element, value, texts }: OpenCell, strings: readonly string[]): Scalar {
  const { t } = element.attributes;
  if (t === "inlineStr") return (texts ?? []).join("");
  if (value === undefined) return null;
  if (t === "str" || t === "e" || t === "d") return value;
  // Some programs write an empty value where nothing has been calculated.
  if (value.trim() === "") return null;
  if (t === "s") return strings[Number(value)] ?? "";
  if (t === "b") return value.trim() === "1";
  return Number(value);
}

function looseFormula(element: XmlElement): LooseFormula {
  const owners: XmlElement[] = [];
  for (let owner = element.parent; owner !== undefined; owner = owner.parent) owners.push(owner);
  const ranged = owners.find(({ attributes }) => attributes.sqref !== undefined);
  const kind = owners.some(({ name }) => name === "dataValidation")
    ? "validation"
    : owners.some(({ name }) => name === "conditionalFormatting")
      ? "conditional format"
      : "other";
  return { formula: `=${asTyped(element.text)}`, kind, at: ranged?.attributes.sqref ?? "", element };
}

/** Stands in a cell that another cell's formula fills: what reads it reads something calculated. */
const filledByFormula = "=0";
const blank: CellContent = { formula: "", value: null };

/** The cells as the rest of the hand-over reads them; gaps stay gaps, so that one far cell costs nothing. */
export function asSheet(name: string, cells: readonly FileCell[], unknown: Scalar): SheetCells {
  const rows: CellContent[][] = [];
  let width = 0;
  for (const { row, column, formula, value } of cells) {
    const typed = formula === "" ? (value === null ? "" : String(value)) : formula;
    if (typed === "") continue;
    const line = (rows[row] ??= []);
    line[column] = { formula: typed, value: formula !== "" && value === null ? unknown : value };
    width = Math.max(width, column + 1);
  }
  return { name, top: 0, left: 0, width, rows: rows.length === 0 ? [[blank]] : rows };
}

/** Arrays larger than this are not marked cell by cell; nothing that a function of ours reads is. */
const mostFilled = 100_000;

/** The same with the cells that arrays fill marked as calculated. */
export function withFilledCells(sheet: SheetCells, cells: readonly FileCell[]): SheetCells {
  const arrays = cells.flatMap(({ array }) => (array === undefined ? [] : [array.block]));
  if (arrays.length === 0) return sheet;
  const rows = sheet.rows.slice();
  for (const { top, left, bottom, right } of arrays) {
    if ((bottom - top + 1) * (right - left + 1) > mostFilled) continue;
    for (let row = top; row <= bottom; row++) {
      const line = (rows[row] ?? []).slice();
      for (let column = left; column <= right; column++) {
        const { formula, value } = line[column] ?? blank;
        line[column] = { formula: formula.startsWith("=") ? formula : filledByFormula, value };
      }
      rows[row] = line;
    }
  }
  const width = Math.max(sheet.width, ...arrays.map(({ right }) => Math.min(right, grid.columns - 1) + 1));
  return { ...sheet, width, rows };
}

function validation(prefix: string, { address, rule, message }: FileLimit): string {
  const [type, formula] =
    "list" in rule ? ["list", `"${rule.list}"`] : ["custom", rule.formula.replace(/^=/, "")];
  return (
    `<${prefix}dataValidation type="${type}" allowBlank="1" showInputMessage="1" showErrorMessage="1" ` +
    `errorTitle="${escapeXml(limitTitle)}" error="${escapeXml(message)}" sqref="${address}">` +
    `<${prefix}formula1>${escapeXml(formula)}</${prefix}formula1></${prefix}dataValidation>`
  );
}

/** A sheet's part of a workbook file: its cells read, and chosen ones rewritten with every other character kept. */
import { limitTitle } from "../../writing";
import type { Block, Pieces } from "../../host";
import { blockOf, cellAddress, shortAddress } from "../../host";
import type { FileCell, SharedTexts } from "./cell-store";
import { CellStore, placeKey } from "./cell-store";
import { Coverage } from "./coverage";
import type { LooseFormula, ReadOptions } from "./sheet-reader";
import { isLoose, Position, refuse, SheetReader } from "./sheet-reader";
import type { Passage, Text, XmlElement } from "./xml";
import { escapeText, escapeXml, passing } from "./xml";

/** What may stand in a sheet's part, in the order of the standard (ISO/IEC 29500-1, CT_Worksheet). */
const order =
  "sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr sheetProtection protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells phoneticPr conditionalFormatting dataValidations hyperlinks printOptions pageMargins pageSetup headerFooter rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing legacyDrawing legacyDrawingHF drawingHF picture oleObjects controls webPublishItems tableParts extLst".split(
    " ",
  );

export interface FileLimit {
  /** Blocks with one rule, which is spelt for the first cell of the first. */
  readonly blocks: readonly Block[];
  readonly rule: { readonly list: string } | { readonly formula: string };
  readonly message: string;
}

/** What is to stand in a cell. */
type Put =
  | { readonly formula: string; readonly partOfSpill: boolean; readonly losesValue: boolean }
  /** A value that is there only loses its formula. */
  | { readonly value: string | number; readonly isThere: boolean };

interface Added {
  readonly column: number;
  readonly put: Put;
}

const keepsAll: ReadOptions = { keeps: () => true };

export class SheetPart {
  private readonly top = new Map<string, XmlElement>();
  private root: XmlElement | undefined;
  private readonly puts = new Map<number, Put>();
  /** Cells that the file lacks and that are wanted now, by row. */
  private readonly added = new Map<number, Added[]>();
  private readonly loosePuts = new Map<number, string>();
  /** Rules of limits as they are written. */
  private readonly rules: string[] = [];
  private readonly inserted: { readonly name: string; readonly text: string }[] = [];
  private readonly replaced = new Map<string, string>();
  private dropsFormulas = false;
  /** Cells with a rule of their own. */
  readonly validated = new Coverage();
  readonly looseFormulas: LooseFormula[] = [];
  /** Whether a formula was put where no value is any more until something calculates. */
  wantsCalculation = false;

  private constructor(
    readonly name: string,
    readonly held: CellStore,
  ) {}

  static *reading(
    name: string,
    text: Text,
    strings: SharedTexts,
    options: ReadOptions = keepsAll,
  ): Pieces<SheetPart> {
    const part = new SheetPart(name, new CellStore(strings, options.keepsLooks));
    const reader = new SheetReader(
      name,
      part.held,
      {
        root: (element) => (part.root = element),
        top: (element) => {
          if (!part.top.has(element.name)) part.top.set(element.name, element);
        },
        validated: (ranges) => {
          for (const range of ranges) part.addValidated(range);
        },
        loose: (formula) => part.looseFormulas.push(formula),
      },
      options,
    );
    yield* reader.reading(text);
    if (part.root?.name !== "worksheet" || !part.top.has("sheetData"))
      refuse(name, "is not a sheet's: save the file again from Excel, then hand over.");
    return part;
  }

  private addValidated(range: string): void {
    const block = blockOf(range);
    if (block !== undefined) this.validated.add(block);
  }

  get cells(): readonly FileCell[] {
    return Array.from({ length: this.held.length }, (_, i) => this.held.at(i));
  }

  /** A formula in place of the cell's own, or in a cell that had none; what the cell shows stays, but for an error. */
  putFormula(row: number, column: number, formula: string, partOfSpill: boolean): void {
    const cell = this.held.find(row, column);
    // What a program shows that does not know our functions is no answer of the formula's that stands there now.
    const losesValue = cell?.isError === true;
    if (losesValue) this.wantsCalculation = true;
    this.put(row, column, cell !== undefined, {
      formula: formula.replace(/^=/, ""),
      partOfSpill,
      losesValue,
    });
  }

  /** The cell without its formula; `value` is for one that shows nothing yet. */
  putValue(row: number, column: number, value: string | number): void {
    const cell = this.held.find(row, column);
    const isThere = cell !== undefined && (cell.value !== null || value === "");
    this.put(row, column, cell !== undefined, { value, isThere });
  }

  /** Every formula of a cell goes, and what its cell shows stays. */
  dropFormulas(): void {
    this.dropsFormulas = true;
  }

  private put(row: number, column: number, isThere: boolean, put: Put): void {
    if (isThere) {
      this.puts.set(placeKey(row, column), put);
      return;
    }
    const inRow = this.added.get(row) ?? [];
    inRow.push({ column, put });
    this.added.set(row, inRow);
  }

  putLoose({ index }: LooseFormula, formula: string): void {
    this.loosePuts.set(index, formula.replace(/^=/, ""));
  }

  addLimit(limit: FileLimit): void {
    this.rules.push(validation(this.prefix, limit));
  }

  /** An element right inside the sheet's, where the standard wants it. */
  insertTop(name: string, text: string): void {
    this.inserted.push({ name, text });
  }

  /** Another tag in the place of an element without content. */
  replaceTop(name: string, text: string): void {
    this.replaced.set(name, text);
  }

  topElement(name: string): XmlElement | undefined {
    return this.top.get(name);
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
    return (
      (this.dropsFormulas && this.held.formulaElements > 0) ||
      this.puts.size > 0 ||
      this.added.size > 0 ||
      this.loosePuts.size > 0 ||
      this.rules.length > 0 ||
      this.inserted.length > 0 ||
      this.replaced.size > 0
    );
  }

  /** The part as it is to be now, from the text that it was read from. */
  *rewritten(text: Text): Generator<string> {
    const { prefix, rules } = this;
    const inserted = [...this.inserted];
    if (rules.length > 0 && !this.top.has("dataValidations"))
      inserted.push({
        name: "dataValidations",
        text: `<${prefix}dataValidations count="${rules.length}">${rules.join("")}</${prefix}dataValidations>`,
      });
    const writer = new SheetWriter(this.name, prefix, {
      puts: this.puts,
      added: [...this.added]
        .sort(([a], [b]) => a - b)
        .map(([row, cells]) => ({ row, cells: cells.sort((a, b) => a.column - b.column) })),
      loose: this.loosePuts,
      rules,
      inserted: inserted.sort((a, b) => order.indexOf(a.name) - order.indexOf(b.name)),
      replaced: this.replaced,
      dropsFormulas: this.dropsFormulas,
    });
    yield* passing(this.name, text, writer);
  }
}

const relationNamespaces = new Set([
  "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
  "http://purl.oclc.org/ooxml/officeDocument/relationships",
]);

interface Changes {
  readonly puts: ReadonlyMap<number, Put>;
  readonly added: readonly { readonly row: number; readonly cells: readonly Added[] }[];
  readonly loose: ReadonlyMap<number, string>;
  readonly rules: readonly string[];
  readonly inserted: readonly { readonly name: string; readonly text: string }[];
  readonly replaced: ReadonlyMap<string, string>;
  readonly dropsFormulas: boolean;
}

interface CellAtHand {
  readonly element: XmlElement;
  readonly put: Put | undefined;
  formula?: XmlElement;
  value?: XmlElement;
}

/** A start tag that is open, of an element that may have been written as one tag. */
const opened = (tag: string): string => `${tag.replace(/\/>$/, "").trimEnd()}>`;

const attribute = (name: string): RegExp => new RegExp(`\\s${name}\\s*=\\s*(?:"[^"]*"|'[^']*')`);
const [arrayMark, typeMark, lookMark, countMark] = ["cm", "t", "s", "count"].map(attribute) as [
  RegExp,
  RegExp,
  RegExp,
  RegExp,
];

/** Changes a sheet's part while it passes by. */
class SheetWriter {
  private readonly position: Position;
  private cell: CellAtHand | undefined;
  private looseCount = 0;
  private nextAdded = 0;
  private nextInRow = 0;
  private nextInserted = 0;

  constructor(
    part: string,
    private readonly prefix: string,
    private readonly changes: Changes,
  ) {
    this.position = new Position(part);
  }

  holds = (element: XmlElement): boolean => {
    const { cell, changes } = this;
    if (cell !== undefined)
      return element === cell.element && (cell.put !== undefined || changes.dropsFormulas);
    return changes.loose.size > 0 && isLoose(element);
  };

  open = (element: XmlElement, passage: Passage): void => {
    if (element.parent !== undefined && element.parent.parent === undefined) this.openTop(element, passage);
    const begins = this.position.open(element);
    if (begins === "row") this.openRow(element, passage);
    else if (begins === "cell") this.openCell(element, passage);
  };

  close = (element: XmlElement, passage: Passage): void => {
    const { cell } = this;
    if (cell !== undefined) {
      if (element === cell.element) {
        this.rewriteCell(cell, passage);
        this.cell = undefined;
      } else if (element.parent === cell.element) {
        if (element.name === "f") cell.formula = element;
        else if (element.name === "v") cell.value = element;
      }
      return;
    }
    const { name, parent, insideEnd } = element;
    if (isLoose(element)) {
      const formula = this.changes.loose.get(this.looseCount++);
      if (formula !== undefined) passage.replace(contentOf(element, escapeXml(formula)));
    } else if (name === "row" && parent?.name === "sheetData") this.closeRow(element, passage);
    else if (parent === undefined) putBefore(insideEnd, this.insertedUpTo(order.length), passage);
    else if (parent.parent === undefined && !element.single) {
      if (name === "sheetData") putBefore(insideEnd, this.rowsBefore(Number.POSITIVE_INFINITY), passage);
      if (name === "dataValidations") putBefore(insideEnd, this.rules, passage);
    }
  };

  private get rules(): string {
    return this.changes.rules.join("");
  }

  /** What is to stand before an element of a rank. */
  private insertedUpTo(rank: number): string {
    const { inserted } = this.changes;
    let text = "";
    for (
      let next = inserted[this.nextInserted];
      next !== undefined && order.indexOf(next.name) < rank;
      next = inserted[++this.nextInserted]
    )
      text += next.text;
    return text;
  }

  private openTop(element: XmlElement, passage: Passage): void {
    const { name, start, inside, single, attributes } = element;
    putBefore(start, this.insertedUpTo(order.indexOf(name)), passage);
    const tag = (): string => passage.textOf(start, inside);
    const end = `</${element.prefix}${name}>`;
    const replaced = this.changes.replaced.get(name);
    if (replaced !== undefined) passage.replace({ start, end: inside, text: replaced });
    if (name === "sheetData" && single) {
      const rows = this.rowsBefore(Number.POSITIVE_INFINITY);
      if (rows !== "") passage.replace({ start, end: inside, text: opened(tag()) + rows + end });
    }
    if (name === "dataValidations" && this.changes.rules.length > 0) {
      const count = Number(attributes.count ?? 0) + this.changes.rules.length;
      const counted = tag().replace(countMark, ` count="${count}"`);
      passage.replace({ start, end: inside, text: single ? opened(counted) + this.rules + end : counted });
    }
  }

  private openRow(element: XmlElement, passage: Passage): void {
    this.nextInRow = 0;
    putBefore(element.start, this.rowsBefore(this.position.row), passage);
    const cells = element.single ? this.cellsBefore(Number.POSITIVE_INFINITY) : "";
    if (cells === "") return;
    const { start, inside } = element;
    const text = `${opened(passage.textOf(start, inside))}${cells}</${element.prefix}row>`;
    passage.replace({ start, end: inside, text });
  }

  private closeRow({ single, insideEnd }: XmlElement, passage: Passage): void {
    if (!single) putBefore(insideEnd, this.cellsBefore(Number.POSITIVE_INFINITY), passage);
    if (this.changes.added[this.nextAdded]?.row === this.position.row) this.nextAdded++;
  }

  /** Whole rows that are wanted and not there. */
  private rowsBefore(row: number): string {
    const { added } = this.changes;
    let text = "";
    for (
      let next = added[this.nextAdded];
      next !== undefined && next.row < row;
      next = added[++this.nextAdded]
    ) {
      const { row: wanted, cells } = next;
      const written = cells.map(({ column, put }) => this.newCell(wanted, column, put)).join("");
      text += `<${this.prefix}row r="${wanted + 1}">${written}</${this.prefix}row>`;
    }
    return text;
  }

  /** Cells of the row at hand that are wanted and not there. */
  private cellsBefore(column: number): string {
    const here = this.changes.added[this.nextAdded];
    if (here?.row !== this.position.row) return "";
    let text = "";
    for (
      let next = here.cells[this.nextInRow];
      next !== undefined && next.column < column;
      next = here.cells[++this.nextInRow]
    )
      text += this.newCell(here.row, next.column, next.put);
    return text;
  }

  private newCell(row: number, column: number, put: Put): string {
    const { prefix } = this;
    const tag = `${prefix}c r="${cellAddress(row, column)}"`;
    if ("formula" in put) return `<${tag}>${formulaElement(prefix, put.formula)}</${prefix}c>`;
    return `<${tag}${typeOf(put.value)}>${valueElement(prefix, put.value)}</${prefix}c>`;
  }

  private openCell(element: XmlElement, passage: Passage): void {
    const { row, column } = this.position;
    putBefore(element.start, this.cellsBefore(column), passage);
    this.cell = { element, put: this.changes.puts.get(placeKey(row, column)) };
    if (this.changes.added[this.nextAdded]?.row !== row) return;
    const here = this.changes.added[this.nextAdded]?.cells[this.nextInRow];
    // A cell that is there for its looks alone takes what is wanted in its place.
    if (here?.column !== column) return;
    this.nextInRow++;
    this.cell = { element, put: here.put };
  }

  private rewriteCell({ element, put, formula, value }: CellAtHand, passage: Passage): void {
    if (put === undefined && !(this.changes.dropsFormulas && formula !== undefined)) return;
    const { start, inside, end, single, prefix } = element;
    const tag = passage.textOf(start, inside);
    if (put !== undefined && "value" in put && !put.isThere) {
      const { row, column } = this.position;
      const look = lookMark.exec(tag)?.[0] ?? "";
      const opening = `<${prefix}c r="${cellAddress(row, column)}"${look}${typeOf(put.value)}>`;
      passage.replace({ start, end, text: `${opening}${valueElement(prefix, put.value)}</${prefix}c>` });
      return;
    }
    const isFormula = put !== undefined && "formula" in put;
    const kept =
      isFormula && !put.partOfSpill && formula?.attributes.t === "array" ? formula.attributes.ref : undefined;
    const written = isFormula ? formulaElement(formula?.prefix ?? prefix, put.formula, kept) : "";
    let changed = kept === undefined ? tag.replace(arrayMark, "") : tag;
    if (isFormula && put.losesValue) {
      changed = changed.replace(typeMark, "");
      if (value !== undefined) passage.replace({ start: value.start, end: value.end, text: "" });
    }
    if (formula !== undefined) passage.replace({ start: formula.start, end: formula.end, text: written });
    if (formula !== undefined && written === "" && value !== undefined && element.attributes.t === "str") {
      // Without a formula, some programs read a new one in a text that was a formula's.
      changed = changed.replace(typeMark, ' t="inlineStr"');
      const text = value.single ? "" : passage.textOf(value.inside, value.insideEnd);
      const inline = `<${prefix}is><${prefix}t xml:space="preserve">${text}</${prefix}t></${prefix}is>`;
      passage.replace({ start: value.start, end: value.end, text: inline });
    }
    if (single && written !== "") {
      passage.replace({ start, end, text: `${opened(changed)}${written}</${prefix}c>` });
      return;
    }
    const first = formula === undefined ? written : "";
    if (changed !== tag || first !== "") passage.replace({ start, end: inside, text: changed + first });
  }
}

/** Puts text before a place, where there is any to put. */
function putBefore(place: number, text: string, passage: Passage): void {
  if (text !== "") passage.replace({ start: place, end: place, text });
}

/** Puts text in the place of what is inside an element. */
const contentOf = ({ inside, insideEnd }: XmlElement, text: string) => ({
  start: inside,
  end: insideEnd,
  text,
});

const formulaElement = (prefix: string, formula: string, array?: string): string => {
  const block = array === undefined ? "" : ` t="array" ref="${escapeXml(array)}"`;
  return `<${prefix}f${block}>${escapeXml(formula)}</${prefix}f>`;
};

const typeOf = (value: string | number): string => (typeof value === "number" ? "" : ' t="inlineStr"');

const valueElement = (prefix: string, value: string | number): string =>
  typeof value === "number"
    ? `<${prefix}v>${value}</${prefix}v>`
    : `<${prefix}is><${prefix}t xml:space="preserve">${escapeText(value)}</${prefix}t></${prefix}is>`;

function validation(prefix: string, { blocks, rule, message }: FileLimit): string {
  const [type, formula] =
    "list" in rule ? ["list", `"${rule.list}"`] : ["custom", rule.formula.replace(/^=/, "")];
  return (
    `<${prefix}dataValidation type="${type}" allowBlank="1" showInputMessage="1" showErrorMessage="1" ` +
    `errorTitle="${escapeXml(limitTitle)}" error="${escapeXml(message)}" sqref="${blocks.map(shortAddress).join(" ")}">` +
    `<${prefix}formula1>${escapeXml(formula)}</${prefix}formula1></${prefix}dataValidation>`
  );
}

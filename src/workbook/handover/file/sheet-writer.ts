/** A sheet's part changed while it passes by: every character that nobody asked to change stays. */
import { cellAddress } from "../../host";
import { placeKey } from "./cell-store";
import { isLoose, Position } from "./sheet-reader";
import type { Passage } from "./xml-passing";
import type { XmlElement } from "./xml-element";
import { escapeXml, openedTag } from "./xml";
import type { Put, Changes } from "./sheet-changes";
import { order } from "./sheet-order";
import { formulaElement, typeOf, valueElement } from "./cell-elements";

interface CellAtHand {
  readonly element: XmlElement;
  readonly put: Put | undefined;
  formula?: XmlElement;
  value?: XmlElement;
}

const attribute = (name: string): RegExp => new RegExp(`\\s${name}\\s*=\\s*(?:"[^"]*"|'[^']*')`);
const [arrayMark, typeMark, lookMark, countMark] = ["cm", "t", "s", "count"].map(attribute) as [
  RegExp,
  RegExp,
  RegExp,
  RegExp,
];

/** Changes a sheet's part while it passes by. */
export class SheetWriter {
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
      if (rows !== "") passage.replace({ start, end: inside, text: openedTag(tag()) + rows + end });
    }
    if (name === "dataValidations" && this.changes.rules.length > 0) {
      const count = Number(attributes.count ?? 0) + this.changes.rules.length;
      const counted = tag().replace(countMark, ` count="${count}"`);
      passage.replace({ start, end: inside, text: single ? openedTag(counted) + this.rules + end : counted });
    }
  }

  private openRow(element: XmlElement, passage: Passage): void {
    this.nextInRow = 0;
    putBefore(element.start, this.rowsBefore(this.position.row), passage);
    const cells = element.single ? this.cellsBefore(Number.POSITIVE_INFINITY) : "";
    if (cells === "") return;
    const { start, inside } = element;
    const text = `${openedTag(passage.textOf(start, inside))}${cells}</${element.prefix}row>`;
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
      passage.replace({ start, end, text: `${openedTag(changed)}${written}</${prefix}c>` });
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

/** What a sheet's part holds, read once through. */
import { translateFormulaToA1, translateFormulaToR1C1 } from "@borgar/fx";
import type { Pieces } from "../../host";
import { blockOf, cellAddress, WorkbookTrouble } from "../../host";
import { asTyped } from "../../formulas";
import type { CellStore, FormulaArray, Shown } from "./cell-store";
import { grid } from "./cell-store";
import type { Text } from "./xml-walk";
import type { XmlElement } from "./xml-element";
import { textMeant } from "./xml";
import { walking } from "./xml-walk";

/** A formula that is no cell's: of a validation, a conditional format, or another drawing inside the cells. */
export interface LooseFormula {
  readonly formula: string;
  readonly kind: "validation" | "conditional format" | "other";
  readonly at: string;
  /** Which of them it is, in the order in which they end. */
  readonly index: number;
}

export const refuse = (part: string, why: string): never => {
  throw new WorkbookTrouble(`The file's part ${part} ${why}`);
};

const looseNames = new Set(["formula", "formula1", "formula2", "f"]);

/** Whether an element outside the cells holds a formula. */
export const isLoose = ({ name }: XmlElement): boolean => looseNames.has(name);

/** Where in the sheet the reading is; cells and rows may leave out where they stand. */
export class Position {
  row = -1;
  column = -1;

  constructor(private readonly part: string) {}

  /** Answers with what begins: a row or a cell of the sheet, or anything else. */
  open({ name, attributes: { r }, parent }: XmlElement): "row" | "cell" | "other" {
    if (name === "row" && parent?.name === "sheetData" && parent.parent?.parent === undefined) {
      this.row = r === undefined ? this.row + 1 : Number(r) - 1;
      this.column = -1;
      if (!Number.isInteger(this.row) || this.row < 0 || this.row >= grid.rows) this.outside(`row ${r}`);
      return "row";
    }
    if (name !== "c" || parent?.name !== "row") return "other";
    this.column = r === undefined ? this.column + 1 : this.columnOf(r);
    if (this.column >= grid.columns) this.outside(`cell ${r}`);
    return "cell";
  }

  /** The letters of an address such as BC12, which must stand in the row at hand. */
  private columnOf(r: string): number {
    let [at, column, row] = [0, 0, 0];
    for (; at < r.length; at++) {
      const letter = r.charCodeAt(at) & ~0x20;
      if (letter < 65 || letter > 90) break;
      column = column * 26 + letter - 64;
    }
    const isPlain = at > 0 && at <= 3;
    for (; at < r.length; at++) {
      const digit = r.charCodeAt(at) - 48;
      if (digit < 0 || digit > 9) break;
      row = row * 10 + digit;
    }
    if (isPlain && at === r.length && row - 1 === this.row) return column - 1;
    const place = blockOf(r);
    if (place === undefined || place.top !== place.bottom || place.top !== this.row)
      this.outside(`cell ${r}`);
    return place?.left ?? 0;
  }

  private outside(what: string): never {
    return refuse(this.part, `has a ${what.slice(0, 30)} where no sheet has one: it is not opened.`);
  }
}

interface OpenCell {
  readonly element: XmlElement;
  formula?: XmlElement;
  value?: string;
  texts?: string[];
}

interface Waiting {
  readonly cell: number;
  readonly id: string;
  readonly at: string;
  readonly isUnanswered: boolean;
}

interface SharedFormula {
  readonly formula: string;
  readonly at: string;
  /** In the form in which it is the same in each of its cells; made when it is first wanted. */
  relative?: string;
}

export interface ReadOptions {
  /** The formulas whose text is kept, asked with whether their cell shows an error or nothing. Others are known to be there. */
  readonly keeps: (formula: string, isUnanswered: boolean) => boolean;
  /** Whether it is asked how cells look. */
  readonly keepsLooks?: boolean;
}

export interface Findings {
  root(element: XmlElement): void;
  top(element: XmlElement): void;
  validated(ranges: readonly string[]): void;
  loose(formula: LooseFormula): void;
}

/** Formulas that are written out at a time, in a few milliseconds. */
const formulasAtATime = 100;

export class SheetReader {
  private readonly position: Position;
  private open: OpenCell | undefined;
  private readonly shared = new Map<string, SharedFormula>();
  /** Cells whose formula stands in a cell behind them. */
  private readonly waiting: Waiting[] = [];
  private looseCount = 0;

  constructor(
    private readonly part: string,
    private readonly cells: CellStore,
    private readonly findings: Findings,
    private readonly options: ReadOptions,
  ) {
    this.position = new Position(part);
  }

  *reading(text: Text): Pieces<void> {
    yield* walking(this.part, text, {
      open: (element) => this.opened(element),
      close: (element) => this.closed(element),
    });
    for (const [i, { cell, id, at, isUnanswered }] of this.waiting.entries()) {
      if (i % formulasAtATime === 0) yield i / this.waiting.length;
      const first = this.shared.get(id);
      if (first === undefined)
        refuse(this.part, `has an empty formula in ${at}: save the file again from Excel, then hand over.`);
      else this.cells.setFormula(cell, this.kept(first, at, isUnanswered));
    }
    const twice = this.cells.close();
    if (twice !== undefined)
      refuse(
        this.part,
        `holds the cell ${cellAddress(...twice)} twice: save the file again from Excel, then hand over.`,
      );
  }

  private opened(element: XmlElement): void {
    const { parent } = element;
    if (parent === undefined) this.findings.root(element);
    else if (parent.parent === undefined) this.findings.top(element);
    if (this.position.open(element) === "cell") this.open = { element };
  }

  private closed(element: XmlElement): void {
    const { open } = this;
    if (open === undefined) return this.closedOutside(element);
    const { name, parent } = element;
    if (parent === open.element && name === "f") open.formula = element;
    else if (parent === open.element && name === "v") open.value = element.text;
    else if (name === "t" && parent?.name !== "rPh") (open.texts ??= []).push(element.text);
    else if (element === open.element) {
      this.open = undefined;
      this.add(open);
    }
  }

  private closedOutside(element: XmlElement): void {
    const { name, attributes, parent, text } = element;
    if (name === "dataValidation" && attributes.sqref !== undefined)
      this.findings.validated(attributes.sqref.split(/\s+/));
    if (name === "sqref" && parent?.name === "dataValidation") this.findings.validated(text.split(/\s+/));
    if (isLoose(element)) this.findings.loose(looseFormula(element, this.looseCount++));
  }

  private add(open: OpenCell): void {
    const { row, column } = this.position;
    const shown = shownIn(open);
    const { formula } = open;
    const look = Number(open.element.attributes.s ?? 0);
    if (formula === undefined) {
      // A cell that is only there for its looks holds nothing.
      if (shown.kind !== "nothing") this.cells.add(row, column, shown, undefined, look);
      return;
    }
    const { t, ref, si } = formula.attributes;
    const at = cellAddress(row, column);
    const text = formulaText(formula);
    const isUnanswered = shown.kind === "error" || shown.kind === "nothing";
    const cell = this.cells.add(row, column, shown, undefined, look);
    this.cells.formulaElements++;
    if (t === "array" || t === "dataTable") {
      const block = blockOf(ref ?? "");
      const array: FormulaArray | undefined =
        block === undefined ? undefined : { block, dynamic: open.element.attributes.cm !== undefined };
      if (array !== undefined) this.cells.setArray(cell, array);
    }
    if (text !== "") {
      if (t === "shared" && si !== undefined) this.shared.set(si, { formula: text, at });
      this.cells.setFormula(cell, this.options.keeps(text, isUnanswered) ? text : "");
    } else if (t === "shared" && si !== undefined) {
      const first = this.shared.get(si);
      if (first === undefined) this.waiting.push({ cell, id: si, at, isUnanswered });
      else this.cells.setFormula(cell, this.kept(first, at, isUnanswered));
    }
  }

  /** A shared formula as it stands in one of its cells. */
  private kept(first: SharedFormula, at: string, isUnanswered: boolean): string {
    if (!this.options.keeps(first.formula, isUnanswered)) return "";
    first.relative ??= translateFormulaToR1C1(first.formula, first.at);
    return translateFormulaToA1(first.relative, at);
  }
}

function formulaText({ text, attributes: { t, r1, r2 } }: XmlElement): string {
  if (t === "dataTable") return `=TABLE(${[r1, r2].filter((one) => one !== undefined).join(",")})`;
  return text === "" ? "" : `=${asTyped(text)}`;
}

function shownIn({ element, value, texts }: OpenCell): Shown {
  const { t } = element.attributes;
  if (t === "inlineStr") return { kind: "text", text: textMeant((texts ?? []).join("")) };
  if (value === undefined) return { kind: "nothing" };
  if (t === "e") return { kind: "error", text: value };
  if (t === "str" || t === "d") return { kind: "text", text: textMeant(value) };
  // Some programs write an empty value where nothing has been calculated.
  if (value.trim() === "") return { kind: "nothing" };
  if (t === "s") return { kind: "shared", number: Number(value) };
  if (t === "b") return { kind: "truth", number: Number(value.trim() === "1") };
  return { kind: "number", number: Number(value) };
}

function looseFormula(element: XmlElement, index: number): LooseFormula {
  const owners: XmlElement[] = [];
  for (let owner = element.parent; owner !== undefined; owner = owner.parent) owners.push(owner);
  const ranged = owners.find(({ attributes }) => attributes.sqref !== undefined);
  const kind = owners.some(({ name }) => name === "dataValidation")
    ? "validation"
    : owners.some(({ name }) => name === "conditionalFormatting")
      ? "conditional format"
      : "other";
  return { formula: `=${asTyped(element.text)}`, kind, at: ranged?.attributes.sqref ?? "", index };
}

/** The cells of a sheet of a file, packed tightly: a sheet may hold some ten million of them. */
import type { Block, CellContent, Scalar, SheetCells } from "../../host";
import { emptyCell, readsLikeError } from "../../host";
import { Coverage } from "./coverage";
import { Paged } from "./paged";

/** A formula that fills several cells, or that may. */
export interface FormulaArray {
  readonly block: Block;
  /** Grows and shrinks with its answer; one that does not was entered over a chosen block. */
  readonly dynamic: boolean;
}

export interface FileCell {
  readonly row: number;
  readonly column: number;
  /** As typed: a formula begins with "="; only that where the formula is not kept. */
  readonly formula: string;
  /** Null where the file has none, which for a formula means that nothing has calculated it yet. */
  readonly value: Scalar;
  /** Whether the value is an error, and no text that reads like one. */
  readonly isError: boolean;
  readonly array?: FormulaArray;
}

/** A cell of a file as the rest of the hand-over reads it. */
export const contentIn = ({
  formula,
  value,
  isError,
}: Pick<FileCell, "formula" | "value" | "isError">): CellContent =>
  isError || !readsLikeError(value) ? { formula, value } : { formula, value, isText: true };

/** As large as a sheet can be. */
export const grid = { rows: 1_048_576, columns: 16_384 } as const;

/** One number for the place of a cell. */
export const placeKey = (row: number, column: number): number => row * grid.columns + column;

const firstBytes = 0x4000;

/** Texts as bytes, one behind the other: a text that was cut out of a file would keep the file around it alive. */
export class Texts {
  private bytes = new Uint8Array(firstBytes);
  private readonly ends = new Paged(Uint32Array);
  private count = 0;
  private readonly encoder = new TextEncoder();
  /** A text may begin with what begins a file. */
  private readonly decoder = new TextDecoder("utf-8", { ignoreBOM: true });

  get length(): number {
    return this.count;
  }

  add(text: string): number {
    const from = this.end(this.count);
    const most = from + text.length * 3;
    if (most > this.bytes.length) {
      const more = new Uint8Array(Math.max(most, Math.ceil(this.bytes.length * 1.5)));
      more.set(this.bytes);
      this.bytes = more;
    }
    const { written } = this.encoder.encodeInto(text, this.bytes.subarray(from));
    this.ends.set(this.count, from + written);
    return this.count++;
  }

  private end(count: number): number {
    return count === 0 ? 0 : this.ends.at(count - 1);
  }

  at(index: number): string | undefined {
    if (!(index >= 0 && index < this.count)) return undefined;
    return this.decoder.decode(this.bytes.subarray(this.end(index), this.end(index + 1)));
  }
}

/** The shared texts of a file, by number. */
export interface SharedTexts {
  at(index: number): string | undefined;
}

const kinds = { nothing: 0, number: 1, truth: 2, text: 3, shared: 4, error: 5 } as const;

/** What a cell shows, as the file says it. */
export type Shown =
  | { readonly kind: "nothing" }
  | { readonly kind: "number" | "truth" | "shared"; readonly number: number }
  | { readonly kind: "text" | "error"; readonly text: string };

/** Stands for a formula in a cell that has none, and in one whose formula nobody asks for. */
const formulas = { none: -1, untold: -2 } as const;

/** What is told of a formula that is not kept. */
const untold = "=";

/** Stands in a cell that another cell's formula fills: what reads it reads something calculated. */
const filledByFormula = "=0";

/** Arrays larger than this are not marked as calculated; nothing that a function of ours reads is. */
const mostFilled = 100_000;

export class CellStore {
  private rows = new Paged(Int32Array);
  private columns = new Paged(Uint16Array);
  private kinds = new Paged(Uint8Array);
  private numbers = new Paged(Float64Array);
  private formulas = new Paged(Int32Array);
  /** Kept only where they are asked for. */
  private looks: Paged | undefined;
  private count = 0;
  private isSorted = true;
  private texts = new Texts();
  private readonly arrays = new Map<number, FormulaArray>();
  private readonly calculated = new Coverage();
  private height = 0;
  private breadth = 0;
  /** How many elements of formulas there are, those that say nothing included. */
  formulaElements = 0;
  /** The values of formulas cannot be trusted: the file asks to be calculated first. */
  isStale = false;

  constructor(
    private readonly shared: SharedTexts,
    keepsLooks = false,
  ) {
    if (keepsLooks) this.looks = new Paged(Uint32Array);
  }

  get length(): number {
    return this.count;
  }

  /** As many columns as are in use, from the first. */
  get width(): number {
    return this.breadth;
  }

  add(row: number, column: number, shown: Shown, formula: string | undefined, look = 0): number {
    const i = this.count++;
    if (i > 0 && placeKey(row, column) <= this.keyAt(i - 1)) this.isSorted = false;
    this.rows.set(i, row);
    this.columns.set(i, column);
    this.kinds.set(i, kinds[shown.kind]);
    this.looks?.set(i, look);
    if ("number" in shown) this.numbers.set(i, shown.number);
    else if ("text" in shown) this.numbers.set(i, this.texts.add(shown.text));
    this.height = Math.max(this.height, row + 1);
    this.breadth = Math.max(this.breadth, column + 1);
    this.formulas.set(i, formulas.none);
    if (formula !== undefined) this.setFormula(i, formula);
    return i;
  }

  /** An empty text stands for a formula that is there and that nobody asks for. */
  setFormula(i: number, formula: string): void {
    if (this.formulas.at(i) === formulas.none) {
      const [row, column] = this.placeAt(i);
      this.calculated.add({ top: row, left: column, bottom: row, right: column });
    }
    this.formulas.set(i, formula === "" ? formulas.untold : this.texts.add(formula));
  }

  setArray(i: number, array: FormulaArray): void {
    const { top, left, bottom, right } = array.block;
    this.arrays.set(i, array);
    if ((bottom - top + 1) * (right - left + 1) <= mostFilled) this.calculated.add(array.block);
  }

  private keyAt(i: number): number {
    return placeKey(this.rows.at(i), this.columns.at(i));
  }

  private placeAt(i: number): readonly [row: number, column: number] {
    return [this.rows.at(i), this.columns.at(i)];
  }

  /** Lets go of the cells, once nobody will ask for them: of a large sheet they take as much room as its file. */
  forget(): void {
    this.count = 0;
    this.texts = new Texts();
    for (const column of [this.rows, this.columns, this.kinds, this.numbers, this.formulas, this.looks])
      column?.clear();
  }

  /** Puts the cells in order, once all are there; answers with the place of one that is there twice. */
  close(): readonly [row: number, column: number] | undefined {
    if (this.isSorted) return undefined;
    const order = Float64Array.from({ length: this.count }, (_, i) => i);
    order.sort((a, b) => this.keyAt(a) - this.keyAt(b));
    const twice = order.find((i, at) => at > 0 && this.keyAt(i) === this.keyAt(order[at - 1] ?? i));
    if (twice !== undefined) return this.placeAt(twice);
    const moved = new Map([...order].map((from, to) => [from, to]));
    const arrays = [...this.arrays];
    this.arrays.clear();
    for (const [i, array] of arrays) this.arrays.set(moved.get(i) ?? i, array);
    this.rows = this.rows.inOrder(order);
    this.columns = this.columns.inOrder(order);
    this.kinds = this.kinds.inOrder(order);
    this.numbers = this.numbers.inOrder(order);
    this.formulas = this.formulas.inOrder(order);
    this.looks = this.looks?.inOrder(order);
    this.isSorted = true;
    return undefined;
  }

  /** The first cell at a place or behind it. */
  private from(row: number, column: number): number {
    const key = placeKey(row, column);
    let [low, high] = [0, this.count];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.keyAt(middle) < key) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  hasFormula(i: number): boolean {
    return this.formulas.at(i) !== formulas.none;
  }

  private valueAt(i: number): Scalar {
    const number = this.numbers.at(i);
    switch (this.kinds.at(i)) {
      case kinds.number:
        return number;
      case kinds.truth:
        return number === 1;
      case kinds.text:
      case kinds.error:
        return this.texts.at(number) ?? "";
      case kinds.shared:
        return this.shared.at(number) ?? "";
      default:
        return null;
    }
  }

  private formulaAt(i: number): string {
    const formula = this.formulas.at(i);
    if (formula === formulas.none) return "";
    return this.texts.at(formula) ?? untold;
  }

  at(i: number): FileCell {
    const [row, column] = this.placeAt(i);
    const array = this.arrays.get(i);
    return {
      row,
      column,
      formula: this.formulaAt(i),
      value: this.isStale && this.hasFormula(i) ? null : this.valueAt(i),
      isError: this.kinds.at(i) === kinds.error,
      ...(array === undefined ? {} : { array }),
    };
  }

  find(row: number, column: number): FileCell | undefined {
    const i = this.from(row, column);
    return i < this.count && this.keyAt(i) === placeKey(row, column) ? this.at(i) : undefined;
  }

  /** The number of a cell's look; 0 is that of every cell without one. */
  lookOf(row: number, column: number): number {
    const i = this.from(row, column);
    return i < this.count && this.keyAt(i) === placeKey(row, column) ? (this.looks?.at(i) ?? 0) : 0;
  }

  /** The part of a block that is in use, where it is one cell at the least. */
  within({ top, left, bottom, right }: Block): Block {
    return {
      top,
      left,
      bottom: Math.max(top, Math.min(bottom, this.height - 1)),
      right: Math.max(left, Math.min(right, this.breadth - 1)),
    };
  }

  /** Whether any cell of a block is worked out. */
  isCalculated(block: Block): boolean {
    return this.calculated.touches(block);
  }

  /** The values of a block; `unknown` is shown by what nothing has calculated. */
  valuesIn(block: Block, unknown: Scalar): readonly (readonly Scalar[])[] {
    const { top, left, bottom, right } = this.within(block);
    const rows: Scalar[][] = [];
    for (let row = top; row <= bottom; row++) {
      const values = new Array<Scalar>(right - left + 1).fill(null);
      for (let i = this.from(row, left); i < this.count && this.keyAt(i) <= placeKey(row, right); i++) {
        const { column, value, formula } = this.at(i);
        values[column - left] = value === null && formula !== "" ? unknown : value;
      }
      rows.push(values);
    }
    return rows;
  }

  /** The sheet as the rest of the hand-over reads it, the cells that arrays fill marked as calculated. */
  asSheet(name: string, unknown: Scalar): SheetCells {
    const rows: CellContent[][] = [];
    for (let i = 0; i < this.count; i++) {
      const { row, column, formula, value, isError } = this.at(i);
      const typed = formula === "" ? (value === null ? "" : String(value)) : formula;
      if (typed === "") continue;
      (rows[row] ??= [])[column] =
        formula !== "" && value === null
          ? { formula: typed, value: unknown }
          : contentIn({ formula: typed, value, isError });
    }
    let width = this.breadth;
    for (const { block } of this.arrays.values()) {
      const { top, left, bottom, right } = block;
      if ((bottom - top + 1) * (right - left + 1) > mostFilled) continue;
      width = Math.max(width, right + 1);
      for (let row = top; row <= bottom; row++) {
        const line = (rows[row] ??= []);
        for (let column = left; column <= right; column++) {
          const content = line[column] ?? emptyCell;
          const { formula } = content;
          line[column] = { ...content, formula: formula.startsWith("=") ? formula : filledByFormula };
        }
      }
    }
    return { name, top: 0, left: 0, width, rows: rows.length === 0 ? [[emptyCell]] : rows };
  }
}

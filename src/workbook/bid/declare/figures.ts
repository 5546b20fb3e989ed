/** Figures of a bid that stand beside their labels, one under the other, and are known on their sheet by names. */
import type { Content } from "../../host";
import { isFormula } from "../../writing";
import type { Takes } from "../entry";
import type { BidSheet } from "../bid-sheets";
import type { Kit } from "../kit";
import type { CellOptions, SheetPlan } from "../plan";
import { fixedHere, here } from "../plan";
import type { Declared } from "./declared";
import { entryOf, formOf, namedIn, unitOf } from "./declared";
import { partName } from "./table";

export interface DeclaredFigure extends Declared {
  /** What is said beside it. */
  readonly note?: string;
}

export interface Figures<
  F extends Readonly<Record<string, DeclaredFigure>> = Readonly<Record<string, DeclaredFigure>>,
> {
  /** How their names begin. */
  readonly id: string;
  readonly sheet: BidSheet;
  readonly figures: F;
}

export type FigureId<T extends Figures> = Extract<keyof T["figures"], string>;

export const figures = <const F extends Readonly<Record<string, DeclaredFigure>>>(
  declaration: Figures<F>,
): Figures<F> => declaration;

/** Makes a figure known that has a place of its own on its sheet, and not one under others: cells of one row. */
export function knowFigure<T extends Figures>(
  plan: SheetPlan,
  declared: T,
  id: FigureId<T>,
  row: number,
  [left, right]: readonly [left: number, right: number],
): void {
  plan.know(partName(declared.id, id), row, left, row, right);
}

/** The columns of a label, its figure and what stands beside it, counted from 1. */
interface Places {
  readonly label: number;
  readonly value: number;
  readonly unit?: number;
  readonly note?: number;
  /** Set where what is filled in stands in its cells as the host would have it, and not to the right. */
  readonly isPlain?: true;
}

interface FigureOptions extends CellOptions {
  readonly note?: Content;
  /** What it takes where that depends on the sheets of this bid. */
  readonly takes?: Takes;
}

/** Figures on the sheet that they are planned on. */
export class PlacedFigures<T extends Figures> {
  private readonly order: readonly string[];

  constructor(
    private readonly kit: Kit,
    readonly plan: SheetPlan,
    readonly declared: T,
    private readonly first: number,
    private readonly places: Places,
  ) {
    this.order = Object.keys(declared.figures);
    for (const id of this.order) plan.know(partName(declared.id, id), this.rowOf(id), places.value);
  }

  row(id: FigureId<T>): number {
    return this.rowOf(id);
  }

  /** The row after the last of them. */
  get end(): number {
    return this.first + this.order.length;
  }

  at(id: FigureId<T>): string {
    return here(this.row(id), this.places.value);
  }

  fixed(id: FigureId<T>): string {
    return fixedHere(this.row(id), this.places.value);
  }

  /** For other sheets. */
  cell(id: FigureId<T>): string {
    return this.plan.at(this.row(id), this.places.value);
  }

  input(id: FigureId<T>, content: string | number | undefined, options: FigureOptions = {}): void {
    const { note, takes, ...others } = options;
    this.label(id, note);
    const declared = this.record(id);
    const { system } = this.kit;
    const form = formOf(declared, system);
    const entry =
      takes === undefined ? entryOf(declared, system) : { ...namedIn(declared, system), ...takes };
    this.plan.input(this.row(id), this.places.value, content, {
      ...(this.places.isPlain === true ? {} : { align: "right" as const }),
      ...(form === undefined ? {} : { form }),
      ...(entry === undefined ? {} : { entry }),
      ...others,
    });
  }

  result(id: FigureId<T>, formula: string, options: FigureOptions = {}): void {
    const { note, ...others } = options;
    this.label(id, note);
    const form = formOf(this.record(id), this.kit.system) ?? "general";
    this.plan.result(this.row(id), this.places.value, formula, form, { align: "right", ...others });
  }

  private label(id: FigureId<T>, note: Content | undefined = this.record(id).note): void {
    const { system } = this.kit;
    const row = this.row(id);
    this.plan.put(row, this.places.label, namedIn(this.record(id), system).name, "label");
    if (this.places.unit !== undefined)
      this.plan.put(row, this.places.unit, unitOf(this.record(id), system) ?? "", "unit");
    if (this.places.note !== undefined && note !== undefined && note !== "")
      this.plan.put(row, this.places.note, note, isFormula(note) ? "caution" : "note");
  }

  private rowOf(id: string): number {
    return this.first + this.order.indexOf(id);
  }

  private record(id: FigureId<T>): DeclaredFigure {
    const found = this.declared.figures[id];
    if (found === undefined) throw new Error(`${this.declared.id} have no figure ${id}`);
    return found;
  }
}

/**
 * What a sheet of a bid holds, declared once: a column or a figure is a record that says what it is called, in what unit,
 * what it takes and what it means to the trade. It is written, found again, read and explained from that record.
 */
import type { QuantityKind, UnitSystem } from "../../../engine/units";
import { unitText } from "../../../engine/units";
import type { Concept } from "../../tables";
import type { Entry, Named, Takes } from "../entry";
import type { CellOptions, NumberForm } from "../plan";

/** A unit by its kind of quantity, or a text made of several. */
export type UnitOf = QuantityKind | ((unit: (kind: QuantityKind) => string) => string);

/** The same words in both unit systems, or others in each. */
type Words = string | Readonly<Record<UnitSystem, string>>;

export interface Declared {
  /** Its heading or its label. */
  readonly name: Words;
  readonly unit?: UnitOf;
  /** What a reader gets: a text, or a number where there is one. */
  readonly holds: "text" | "number";
  /** What it means among the words of the trade, where checks ask for it. */
  readonly means?: Concept;
  /** What it is for, in a sentence. */
  readonly says: string;
  /** How a number or a text is shown, where not as the host would; the same in both unit systems, or other in each. */
  readonly form?: NumberForm | Readonly<Record<UnitSystem, NumberForm>>;
  /** How it stands under its heading, where not as its kind does. */
  readonly align?: CellOptions["align"];
  /** How wide its column is, in characters, where nothing else stands in it. */
  readonly width?: number;
  /** What a person enters; without it, whatever is worked out, or any text. */
  readonly takes?: (system: UnitSystem) => Takes;
  /** Set where only the label that the estimator holds may say it. */
  readonly isFromLabel?: true;
}

/** What a cell of it reads as: a blank, a text and an error are no number. */
export type Held<D extends Declared> = D["holds"] extends "text" ? string : number | undefined;

export function unitOf({ unit }: Pick<Declared, "unit">, system: UnitSystem): string | undefined {
  if (unit === undefined) return undefined;
  const text = (kind: QuantityKind) => unitText(kind, system);
  return typeof unit === "string" ? text(unit) : unit(text);
}

export const formOf = ({ form }: Pick<Declared, "form">, system: UnitSystem): NumberForm | undefined =>
  typeof form === "object" ? form[system] : form;

/** Name and unit as headings and messages show them. */
export function namedIn(declared: Pick<Declared, "name" | "unit">, system: UnitSystem): Named {
  const { name } = declared;
  const unit = unitOf(declared, system);
  const words = typeof name === "string" ? name : name[system];
  return unit === undefined ? { name: words } : { name: words, unit };
}

/** What a cell of it takes; nothing where any text will do. */
export function entryOf(declared: Declared, system: UnitSystem): Entry | undefined {
  const takes = declared.takes?.(system);
  return takes === undefined ? undefined : { ...namedIn(declared, system), ...takes };
}

/** An id such as `typedArea` as a name of the workbook has it: `TypedArea`. */
export const nameOfId = (id: string): string => id.charAt(0).toUpperCase() + id.slice(1);

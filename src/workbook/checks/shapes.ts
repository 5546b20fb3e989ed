/**
 * The shape of a formula: the same for a formula and its copies further down or across. Taken apart once for all
 * copies, since a sheet holds few shapes and many formulas.
 */
import { parseA1Ref } from "@borgar/fx";
import type { Call } from "../formulas";
import {
  blockFilledBy,
  callsIn,
  isReference,
  literalOf,
  mayHoldCalls,
  noCellHolds,
  referencesIn,
} from "../formulas";
import type { Block } from "../host";
import type { At } from "../tables";

/** A row or a column: counted from 0 where it is fixed, else from the cell of the formula. */
interface Axis {
  readonly at: number;
  readonly isFixed: boolean;
}

export interface ReferenceShape {
  /** Undefined for the sheet that the formula stands on. */
  readonly sheet: string | undefined;
  readonly top: Axis;
  readonly left: Axis;
  readonly bottom: Axis;
  readonly right: Axis;
}

export type ArgumentShape =
  | { readonly kind: "left out" }
  | { readonly kind: "literal"; readonly value: number | string }
  | { readonly kind: "reference"; readonly reference: ReferenceShape }
  | {
      readonly kind: "worked out";
      /** As it was typed in the first cell of the shape. */
      readonly text: string;
      readonly references: ReadonlyMap<string, ReferenceShape>;
    };

export interface CallShape {
  readonly id: string;
  readonly definition: NonNullable<Call["definition"]>;
  readonly given: readonly ArgumentShape[];
}

export interface FormulaShape {
  /** Alike for every copy. */
  readonly form: string;
  readonly references: readonly ReferenceShape[];
  readonly calls: readonly CallShape[];
  /** Unit systems are left out of it, so that copies which differ in nothing else are copies. */
  readonly formWithoutUnits: string;
}

const inFormula =
  /"(?:[^"]|"")*"|(?<!')'(?:[^']|'')*'(?=!)|(?<![\w.$])(\$?)([A-Za-z]{1,3})(\$?)([1-9]\d{0,6})(?![\w(.])/g;

const columnNumber = (letters: string): number =>
  [...letters.toUpperCase()].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;

/** The formula with each reference told by its distance, so that copies read the same. */
const formOf = (formula: string, { row, column }: At): string =>
  formula.replace(
    inFormula,
    (
      whole: string,
      lockedColumn: string | undefined,
      letters: string | undefined,
      lockedRow: string,
      digits: string,
    ) => {
      if (letters === undefined) return whole;
      const [down, across] = [Number(digits) - 1, columnNumber(letters)];
      return `R${lockedRow === "" ? `[${down - row}]` : down}C${lockedColumn === "" ? `[${across - column}]` : across}`;
    },
  );

const beyond = Number.MAX_SAFE_INTEGER;

function referenceShape(text: string, { row, column }: At): ReferenceShape | undefined {
  const parsed = parseA1Ref(text, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return undefined;
  const { range } = parsed;
  const axis = (
    at: number | null | undefined,
    isFixed: boolean | null | undefined,
    from: number,
    open: number,
  ) =>
    at === null || at === undefined
      ? { at: open, isFixed: true }
      : { at: isFixed === true ? at : at - from, isFixed: isFixed === true };
  return {
    sheet: parsed.context?.[parsed.context.length - 1],
    top: axis(range.top, range.$top, row, 0),
    left: axis(range.left, range.$left, column, 0),
    bottom: axis(range.bottom, range.$bottom, row, beyond),
    right: axis(range.right, range.$right, column, beyond),
  };
}

/** The cells that a reference of a shape means in one of its copies. */
export function placed({ top, left, bottom, right }: ReferenceShape, { row, column }: At): Block {
  const at = (axis: Axis, from: number) => (axis.isFixed ? axis.at : axis.at + from);
  return { top: at(top, row), left: at(left, column), bottom: at(bottom, row), right: at(right, column) };
}

function argumentShape(text: string, at: At): ArgumentShape {
  if (text === "") return { kind: "left out" };
  const value = literalOf(text);
  if (value !== undefined) return { kind: "literal", value };
  const reference = isReference(text) ? referenceShape(text, at) : undefined;
  if (reference !== undefined) return { kind: "reference", reference };
  const references = new Map<string, ReferenceShape>();
  for (const one of [...referencesIn(`=${text}`), blockFilledBy(text) ?? []].flat()) {
    const shape = referenceShape(one, at);
    if (shape !== undefined) references.set(one, shape);
  }
  return { kind: "worked out", text, references };
}

function callShapes(formula: string, at: At): readonly CallShape[] {
  if (!mayHoldCalls(formula) || noCellHolds(formula)) return [];
  try {
    return callsIn(formula).flatMap(({ definition, given }) =>
      definition === undefined
        ? []
        : [{ id: definition.id, definition, given: given.map((text) => argumentShape(text, at)) }],
    );
  } catch (error) {
    // A formula that is not finished holds no call that could be checked.
    if (error instanceof SyntaxError) return [];
    throw error;
  }
}

const unitsArgument = /(?<!,),*"(?:us|metric)"(?=\))/gi;

/** Every shape met so far. */
export class Shapes {
  private readonly known = new Map<string, FormulaShape>();

  of(formula: string, at: At): FormulaShape {
    const form = formOf(formula, at);
    const known = this.known.get(form);
    if (known !== undefined) return known;
    const shape: FormulaShape = {
      form,
      formWithoutUnits: form.replace(unitsArgument, ""),
      references: referencesIn(formula).flatMap((text) => referenceShape(text, at) ?? []),
      calls: callShapes(formula, at),
    };
    this.known.set(form, shape);
    return shape;
  }
}

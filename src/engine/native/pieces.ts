/** Pieces of formula text, and how tightly each of them holds together. */
import type { Limits } from "../parameters";

/** How tightly a piece of formula text holds together: brackets go round what binds more loosely than it must. */
export const binding = { comparison: 1, joined: 2, sum: 3, product: 4, power: 5, sign: 6, whole: 9 } as const;

/** An argument as it stands in the cell's formula. */
export interface NativeArgument {
  readonly text: string;
  readonly binding: number;
  /** The value of a number or text written out in the formula. */
  readonly literal?: number | string;
  /** Set where the value is worked out somewhere, so that no limit on an input cell can watch over it. */
  readonly computed?: boolean;
  /** What a computed value is known to lie within, so that no guard need ask again. */
  readonly bounds?: Limits;
}

export const leftOut: NativeArgument = { text: "", binding: binding.whole };

export interface NativeText {
  readonly text: string;
  readonly binding: number;
  /** Where the form is not the function's equal in everything: what it does instead, as a sentence. */
  readonly told?: string;
  /** Set where what it works out instead is plainer, which its cell has to say. */
  readonly isPlainer?: true;
}

export interface Piece extends NativeText {
  /** A divisor that may be blank needs the function's answer for an unfilled row written out. */
  readonly mayBeBlank: boolean;
  readonly literal?: number;
}

export const piece = (text: string, tight: number, mayBeBlank = false): Piece => ({
  text,
  binding: tight,
  mayBeBlank,
});

export const call = (name: string, ...given: readonly string[]): Piece =>
  piece(`${name}(${given.join(",")})`, binding.whole);

export const literal = (value: number): Piece => ({
  text: String(value),
  binding: value < 0 ? binding.sign : binding.whole,
  mayBeBlank: value === 0,
  literal: value,
});

export const within = ({ text, binding: tight }: NativeText, least: number): string =>
  tight < least ? `(${text})` : text;

/** Excel has no formula for it: says why. */
export class NoNativeForm extends Error {
  override readonly name = "NoNativeForm";
}

export const quotedText = (text: string): string => `"${text.replace(/"/g, '""')}"`;

export const isLiteral = ({ text, literal: value }: NativeArgument): boolean =>
  text === "" || value !== undefined;

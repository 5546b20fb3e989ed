/** A formula's text in pieces, each with its place. */
import type { Token } from "@borgar/fx";
import { tokenize } from "@borgar/fx";

export const opening = new Set(["(", "{"]);
export const closing = new Set([")", "}"]);

/** A token with its place in the text. */
export interface Placed {
  readonly type: string;
  readonly value: string;
  readonly start: number;
  readonly end: number;
}

export function placed(text: string): readonly Placed[] {
  const place = ({ type, value, loc }: Token): Placed => ({
    type,
    value,
    start: loc?.[0] ?? 0,
    end: loc?.[1] ?? 0,
  });
  return tokenize(text, { withLocation: true }).map(place);
}

/** The tokens from an opening bracket to the one that closes it, cut at the commas between. */
export function argumentsFrom(
  text: string,
  tokens: readonly Placed[],
  open: number,
): { given: string[]; close: number } {
  const given: string[] = [];
  let depth = 0;
  let from = tokens[open]?.end ?? 0;
  for (let i = open; i < tokens.length; i++) {
    const { value, start, end } = tokens[i] ?? { value: "", start: 0, end: 0 };
    if (opening.has(value)) depth++;
    if (closing.has(value)) depth--;
    if ((value === "," && depth === 1) || depth === 0) {
      given.push(text.slice(from, start).trim());
      from = end;
    }
    if (depth === 0) return { given: given.length === 1 && given[0] === "" ? [] : given, close: i };
  }
  throw new SyntaxError(`A bracket is not closed in ${text}`);
}

export const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

export const referenceTypes = new Set(["range", "range_beam", "range_ternary", "range_named", "structured"]);

const numberPatterns: readonly (readonly [pattern: RegExp, value: (text: string) => number])[] = [
  [/^[-+]?(?:\d+(?:\.\d+)?|\.\d+)(?:e[-+]?\d+)?$/i, Number],
  [/^[-+]?(?:\d+(?:\.\d+)?|\.\d+)%$/, (text) => Number(text.slice(0, -1)) / 100],
  // No function takes TRUE or FALSE for a number.
  [/^(true|false)$/i, () => Number.NaN],
];

/** A number or text written out in a formula, or undefined for anything else. */
export function literalOf(text: string): number | string | undefined {
  const number = numberPatterns.find(([pattern]) => pattern.test(text));
  if (number !== undefined) return number[1](text);
  const string = /^"((?:[^"]|"")*)"$/.exec(text);
  return string?.[1]?.replaceAll('""', '"');
}

/** Whether a text is one reference, with or without a sheet. */
export function isReference(text: string): boolean {
  const tokens = placed(text);
  const last = tokens[tokens.length - 1];
  return (
    last !== undefined &&
    referenceTypes.has(last.type) &&
    tokens.slice(0, -1).every(({ type, value }) => type.startsWith("context") || value === "!")
  );
}

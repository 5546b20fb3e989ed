/** References as text: a sheet's name and an address, joined and taken apart. */
import { parseA1Ref, stringifyA1Ref } from "@borgar/fx";
import type { RangeA1 } from "@borgar/fx";

export interface Place {
  readonly sheet: string;
  readonly address: string;
}

/** `Site!B2`, with quotes round the sheet's name where it needs them. */
export const qualified = ({ sheet, address }: Place): string => `${quotedSheet(sheet)}!${address}`;

const firstCell: RangeA1 = { top: 0, left: 0, bottom: 0, right: 0 };

/** Quoted where it would read as a cell, a number or a word of formulas. */
export const quotedSheet = (name: string): string =>
  stringifyA1Ref({ context: [name], range: firstCell }).slice(0, -"!A1".length);

/** A host's address such as `'My sheet'!$B$2:B9`, taken apart; without a sheet, the home sheet is meant. */
export function placeOf(reference: string, homeSheet: string): Place | undefined {
  const parsed = parseA1Ref(reference, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return undefined;
  const { context = [] } = parsed;
  // A sheet of another workbook stands behind that workbook's name or number, and is none of this one's.
  if (context.length > 1) return undefined;
  const [sheet = homeSheet] = context;
  return { sheet, address: stringifyA1Ref({ range: unlocked(parsed.range) }) };
}

const unlocked = ({ top, left, bottom, right }: RangeA1): RangeA1 => ({
  top,
  left,
  ...(bottom === undefined ? {} : { bottom }),
  ...(right === undefined ? {} : { right }),
});

export interface Block {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

/** The rows and columns of an address, counted from 0; a whole row or column runs to the end. */
export function blockOf(address: string): Block | undefined {
  const parsed = parseA1Ref(address, { allowNamed: false });
  if (parsed === undefined || !("range" in parsed)) return undefined;
  const { top, left, bottom, right } = parsed.range;
  return {
    top: top ?? 0,
    left: left ?? 0,
    bottom: bottom ?? (top === null ? Number.MAX_SAFE_INTEGER : top),
    right: right ?? (left === null ? Number.MAX_SAFE_INTEGER : left),
  };
}

/** The address of one cell, rows and columns counted from 0. */
export const cellAddress = (row: number, column: number): string =>
  stringifyA1Ref({ range: { top: row, left: column, bottom: row, right: column } });

/** The address of a block by its corners, be they one cell. */
export const blockAddress = ({ top, left, bottom, right }: Block): string =>
  `${cellAddress(top, left)}:${cellAddress(bottom, right)}`;

/** The same, told as one cell where it is one. */
export const shortAddress = (block: Block): string =>
  block.top === block.bottom && block.left === block.right
    ? cellAddress(block.top, block.left)
    : blockAddress(block);

/** Whether two blocks have a cell in common. */
export function overlaps(a: string, b: string): boolean {
  const [one, other] = [blockOf(a), blockOf(b)];
  return (
    one !== undefined &&
    other !== undefined &&
    one.top <= other.bottom &&
    other.top <= one.bottom &&
    one.left <= other.right &&
    other.left <= one.right
  );
}

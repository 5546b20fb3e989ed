/** A formula apart from where it stands: what is filled down a column is one shape in each of its cells. */
import type { Block } from "../../host";
import { grid } from "./cell-store";

interface Spot {
  readonly row: number;
  readonly column: number;
}

/** The row or the column of a reference: its number where it is locked, else how far it is from the cell's own. */
interface Side {
  readonly isLocked: boolean;
  readonly by: number;
}

interface Corner {
  readonly column: Side;
  readonly row: Side;
}

/** Cells that a formula reads; of its own sheet where none is named. */
interface Reads {
  readonly sheet: string | undefined;
  readonly block: Block;
}

/** The texts of a formula, with a corner of a reference between any two. */
export interface Shape {
  readonly texts: readonly string[];
  readonly corners: readonly Corner[];
  readonly reads: readonly Reads[];
}

/** Longer formulas are read by themselves: wherever else this one stood, it would be no longer than a cell takes. */
const longest = 1_600;
/** Larger blocks are asked for by what knows how large they may be. */
const mostRead = 100_000;

const texts = /"(?:[^"]|"")*"/g;
/** Letters and signs that may make a reference of something else than a cell's letters and number. */
const unusual = /[^\n -~]|[[\]#@\\`|~?]/;
const pieces = /"(?:[^"]|"")*"|'(?:[^']|'')*'|[\w.$]+|[^\w.$"']|["']/g;
const word = /^[\w.$]/;
const cell = /^(\$?)([A-Z]{1,3})(\$?)([1-9]\d{0,6})$/;
const likeCell = /^\$|^[A-Z]{1,3}\$?\d/i;

function columnOf(letters: string): number {
  let column = 0;
  for (let i = 0; i < letters.length; i++) column = column * 26 + letters.charCodeAt(i) - 64;
  return column - 1;
}

const side = (isLocked: boolean, at: number, home: number): Side => ({
  isLocked,
  by: isLocked ? at : at - home,
});

const isLarge = ({ top, left, bottom, right }: Block): boolean =>
  bottom < top || right < left || (bottom - top + 1) * (right - left + 1) > mostRead;

/** The shape of a formula, or of a reference; undefined for one that holds anything else than plain references. */
export function shapeOf(formula: string, home: Spot): Shape | undefined {
  if (formula.length > longest || unusual.test(formula.replace(texts, '""'))) return undefined;
  const between: string[] = [];
  const corners: Corner[] = [];
  const reads: Reads[] = [];
  let text = "";
  let sheet: string | undefined;
  const found = formula.match(pieces) ?? [];
  for (const [i, piece] of found.entries()) {
    const [before, after] = [found[i - 1], found[i + 1]];
    const parts = after === "(" || after === "!" ? null : cell.exec(piece);
    if (parts !== null) {
      const [, columnLock, letters = "", rowLock, digits] = parts;
      const [row, column] = [Number(digits) - 1, columnOf(letters)];
      if (row >= grid.rows || column >= grid.columns) return undefined;
      between.push(text);
      text = "";
      corners.push({
        column: side(columnLock !== "", column, home.column),
        row: side(rowLock !== "", row, home.row),
      });
      if (before === ":") {
        const first = reads.pop();
        const block = { top: 0, left: 0, ...first?.block, bottom: row, right: column };
        if (first === undefined || isLarge(block)) return undefined;
        reads.push({ ...first, block });
      } else reads.push({ sheet, block: { top: row, left: column, bottom: row, right: column } });
      if (after !== ":") sheet = undefined;
      continue;
    }
    if (piece === ":" && !(cell.test(before ?? "") && cell.test(after ?? "") && found[i + 2] !== "("))
      return undefined;
    if (piece === '"' || piece === "'" || (piece.startsWith("'") && after !== "!")) return undefined;
    if (piece === "!" && !cell.test(after ?? "")) return undefined;
    if (after === "!") sheet = piece.startsWith("'") ? piece.slice(1, -1).replaceAll("''", "'") : piece;
    else if (word.test(piece) && after !== "(" && likeCell.test(piece)) return undefined;
    text += piece;
  }
  return { texts: [...between, text], corners, reads };
}

/** Tells two shapes apart, and two of one shape whose blocks differ in size. */
export function shapeKey({ texts: between, corners, reads }: Shape): string {
  let key = between.join("\u0001");
  for (const { column, row } of corners)
    key += `\u0002${column.isLocked ? "$" : ""}${column.by}\u0003${row.isLocked ? "$" : ""}${row.by}`;
  for (const { block } of reads) key += `\u0004${block.bottom - block.top}\u0003${block.right - block.left}`;
  return key;
}

const letters: string[] = [];

function lettersOf(column: number): string {
  let known = letters[column];
  if (known !== undefined) return known;
  known = "";
  for (let rest = column + 1; rest > 0; rest = Math.floor((rest - 1) / 26))
    known = String.fromCharCode(65 + ((rest - 1) % 26)) + known;
  return (letters[column] = known);
}

/** The formula of a shape as it stands in a cell; undefined where it would reach beyond the sheet. */
export function standingIn(
  { texts: between, corners }: Pick<Shape, "texts" | "corners">,
  home: Spot,
): string | undefined {
  let formula = between[0] ?? "";
  for (let i = 0; i < corners.length; i++) {
    const corner = corners[i];
    if (corner === undefined) continue;
    const { column, row } = corner;
    const [across, down] = [
      column.by + (column.isLocked ? 0 : home.column),
      row.by + (row.isLocked ? 0 : home.row),
    ];
    if (across < 0 || down < 0 || across >= grid.columns || down >= grid.rows) return undefined;
    formula += `${column.isLocked ? "$" : ""}${lettersOf(across)}${row.isLocked ? "$" : ""}${down + 1}${between[i + 1] ?? ""}`;
  }
  return formula;
}

/** Where the rows and columns of a sheet stood before another person put some in or took some out. */
import { tokenize } from "@borgar/fx";

const width = 60;
const depth = 260;

export class Moves {
  private readonly rows: (number | null)[] = Array.from({ length: depth }, (_, i) => i);
  private readonly columns: (number | null)[] = Array.from({ length: width }, (_, i) => i);
  isMoved = false;

  insertRow(at: number): void {
    this.rows.splice(at, 0, null);
    this.isMoved = true;
  }

  deleteRow(at: number): void {
    this.rows.splice(at, 1);
    this.isMoved = true;
  }

  insertColumn(at: number): void {
    this.columns.splice(at, 0, null);
    this.isMoved = true;
  }

  /** Where a cell stood, or nothing for one that was put in since. */
  before(row: number, column: number): readonly [row: number, column: number] | undefined {
    const [r, c] = [this.rows[row], this.columns[column]];
    return r === null || c === null || r === undefined || c === undefined ? undefined : [r, c];
  }

  /** Where a cell stands by now, unless it was taken out. */
  now(row: number, column: number): string | undefined {
    const [r, c] = [this.rows.indexOf(row), this.columns.indexOf(column)];
    return r < 0 || c < 0 ? undefined : `${r},${c}`;
  }
}

/** The sheets by name as they are called at a time, and how their cells have moved since the beginning. */
export interface Naming {
  readonly idOf: (name: string) => string | undefined;
  readonly movesOf: (id: string) => Moves | undefined;
}

const lettersOf = (column: number): string => {
  const [high, low] = [Math.floor(column / 26) - 1, column % 26];
  return (high < 0 ? "" : String.fromCharCode(65 + high)) + String.fromCharCode(65 + low);
};
const columnOf = (letters: string): number =>
  [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;

const oneCell = /^(?:(.*)!)?\$?([A-Z]{1,2})\$?(\d+)$/;
const manyCells = /^(?:.*!)?[$A-Z\d]+:[$A-Z\d]+$/;

/** A range may grow and shrink, and a reference may be lost: those agree with any. */
const anyCells = "any cells";

interface Token {
  readonly type: string;
  readonly value: string;
}

const tokensOf = (content: string): readonly Token[] =>
  tokenize(content.replace(/(?:'[^']*'|\w+)?!?#REF!?/g, "ZZ9:ZZ9")).filter(
    ({ type }) => type !== "whitespace" && type !== "newline",
  );

/** What a cell carries, with the references that follow it in their places; what it works out may be written in more than one way. */
function carried(tokens: readonly Token[]): readonly Token[] | undefined {
  const at = tokens.findIndex(({ value }) => /^"(=SWARD|filled from)/.test(value));
  if (at < 0) return undefined;
  const given = tokens.slice(at + 1, -1).flatMap(({ value }) => (value === "," ? [] : [value]));
  const text = (tokens[at]?.value ?? "").slice(1, -1).replaceAll('""', '"');
  return tokensOf(text.replace(/\{=?(\d+)\}/g, (whole, place: string) => given[Number(place) - 1] ?? whole));
}

/** What a cell holds, every reference in it spelt as it was before anybody moved anything. */
export function asBefore(content: string, home: string, { idOf, movesOf }: Naming): readonly string[] {
  if (!content.startsWith("=")) return [content];
  const tokens = tokensOf(content);
  const original = carried(tokens);
  const spelt = (original ?? tokens).map(({ type, value }) => {
    if (manyCells.test(value)) return anyCells;
    const [, sheet, letters, row] = type === "range" ? (oneCell.exec(value.toUpperCase()) ?? []) : [];
    if (letters === undefined || row === undefined) return value;
    const name = sheet?.replace(/^'|'$/g, "").replaceAll("''", "'");
    const id = name === undefined ? home : idOf(name);
    const place = id === undefined ? undefined : movesOf(id)?.before(Number(row) - 1, columnOf(letters));
    if (place === undefined) return anyCells;
    return `${id ?? "?"} ${lettersOf(place[1])}${place[0] + 1}`;
  });
  return original === undefined ? spelt : ["carries", ...spelt];
}

/** Whatever cells it refers to: what a formula fills shifts with the rows that it reads. */
export const loosely = (tokens: readonly string[]): readonly string[] =>
  tokens.map((token) => (/^\S+ [A-Z]{1,2}\d+$/.test(token) ? anyCells : token));

export const agree = (one: readonly string[], other: readonly string[]): boolean =>
  one.length === other.length &&
  one.every((token, i) => token === other[i] || token === anyCells || other[i] === anyCells);

/** Whether a formula is a part of another one. */
export function isPart(one: readonly string[], whole: readonly string[]): boolean {
  const [begins, ...parts] = one;
  if (begins !== "=" || parts.length === 0) return false;
  let at = 0;
  return parts.every((part) => {
    while (at < whole.length && !agree([part], whole.slice(at, at + 1))) at++;
    return at++ < whole.length;
  });
}

/** What the workbook really holds once it was written to, against what was meant: only that counts as converted. */
import type { Scalar } from "../evaluate";
import { isError } from "../evaluate";
import { cellAddress } from "../reference";
import type { CellContent, SheetCells } from "../sheets";
import { filledCells } from "../sheets";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { CellNote, Conversion } from "./plan";
import { unanswered } from "./plan";
import type { CellChange } from "./change-set";

/** How far two numbers may be apart, as a part of the greater; next to nothing is nothing. */
const tolerance = 1e-9;
const nothing = 1e-12;

const sameNumber = (a: number, b: number): boolean =>
  Math.abs(a - b) <= Math.max(tolerance * Math.max(Math.abs(a), Math.abs(b)), nothing);

const sameValue = (a: Scalar, b: Scalar): boolean =>
  typeof a === "number" && typeof b === "number"
    ? sameNumber(a, b)
    : isError(a) && isError(b)
      ? true
      : String(a ?? "") === String(b ?? "");

/** Cells by place, asked one by one. */
export class Contents {
  private readonly cells: ReadonlyMap<string, CellContent>;

  constructor(sheets: readonly SheetCells[]) {
    this.cells = new Map(
      sheets.flatMap((sheet) =>
        filledCells(sheet).map(
          (cell) => [placeKey({ sheet: sheet.name, row: cell.row, column: cell.column }), cell] as const,
        ),
      ),
    );
  }

  at(place: CellPlace): CellContent {
    return this.cells.get(placeKey(place)) ?? { formula: "", value: null };
  }
}

/** A cell that keeps a formula as a text shows it. */
export const showsItself = (written: string | number, { value }: CellContent): boolean =>
  typeof written === "string" && written.startsWith("=") && value === written;

export interface Proof {
  /** Cells formatted as text, in which the formula is dead. */
  readonly dead: readonly Conversion[];
  /** Formulas, each with the cells it filled, that show something else than before, with what is said of them. */
  readonly wrong: readonly (readonly [Group, CellNote])[];
  /** Cells that nobody meant to change, as a table fills a column of its own accord. */
  readonly strayed: readonly CellChange[];
}

const shown = (value: Scalar): string => (value === null || value === "" ? "nothing" : String(value));

/** A formula's cell and those that it filled. */
export type Group = readonly Conversion[];

function inGroups(conversions: readonly Conversion[]): readonly Group[] {
  const groups: Conversion[][] = [];
  for (const one of conversions) {
    const last = groups[groups.length - 1];
    if (one.original !== "" || last === undefined) groups.push([one]);
    else last.push(one);
  }
  return groups;
}

function said([first]: Group, was: Scalar, is: Scalar): CellNote {
  const { sheet = "", row = 0, column = 0, original = "" } = first ?? {};
  const note = `Its native form shows ${shown(is)} where the function showed ${shown(was)}: the function was put back.`;
  return { sheet, address: cellAddress(row, column), formula: original, note };
}

/** What came of the conversions, from the sheets as they were and as they are. */
export function proofOf(
  conversions: readonly Conversion[],
  before: readonly SheetCells[],
  after: readonly SheetCells[],
): Proof {
  const [was, is] = [new Contents(before), new Contents(after)];
  const meant = new Set(conversions.map(placeKey));
  const dead = conversions.filter((one) => showsItself(one.native, is.at(one)));
  const lifeless = new Set(dead);
  const wrong = inGroups(conversions).flatMap((group): readonly (readonly [Group, CellNote])[] => {
    const different = group.find((one) => {
      const { value } = was.at(one);
      const shows = is.at(one).value;
      const unknown = typeof value === "string" && value in unanswered;
      const isRight = one.isPlainer === true ? isError(value) || !isError(shows) : sameValue(value, shows);
      return !lifeless.has(one) && !unknown && !isRight;
    });
    if (different === undefined) return [];
    return [[group, said(group, was.at(different).value, is.at(different).value)]];
  });
  return { dead, wrong, strayed: strayed(meant, before, after, [was, is]) };
}

/** Sheets that were converted are compared cell by cell, those beside the written ones with what they held. */
function strayed(
  meant: ReadonlySet<string>,
  before: readonly SheetCells[],
  after: readonly SheetCells[],
  [was, is]: readonly [Contents, Contents],
): readonly CellChange[] {
  const there = new Set(before.map(({ name }) => name));
  const places = new Map(
    [...before, ...after.filter(({ name }) => there.has(name))].flatMap((sheet) =>
      filledCells(sheet).map(({ row, column }) => {
        const place = { sheet: sheet.name, row, column };
        return [placeKey(place), place] as const;
      }),
    ),
  );
  return [...places].flatMap(([key, place]) => {
    if (meant.has(key)) return [];
    const [then, now] = [was.at(place).formula, is.at(place).formula];
    // Cells that a formula fills say nothing of their own: only what was or is a formula can have strayed.
    const differs = then !== now && (then.startsWith("=") || now.startsWith("="));
    return differs ? [{ ...place, before: now, after: then }] : [];
  });
}

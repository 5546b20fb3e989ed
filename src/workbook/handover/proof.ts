/** What the workbook really holds once it was written to, against what was meant: only that counts as converted. */
import { translateFormulaToR1C1 } from "@borgar/fx";
import { addAll, greatest, least } from "../../engine/lists";
import type { CellContent, CellNote, Pieces, Scalar, SheetCells } from "../host";
import { cellAddress, emptyCell, isFormula, showsError } from "../host";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { Conversion } from "./plan";
import { whyUnanswered } from "./plan";
import type { CellChange } from "../writing";
import { asPlanned } from "./change-set";

/** How far two numbers may be apart, as a part of the greater; next to nothing is nothing. */
const tolerance = 1e-9;
const nothing = 1e-12;

const sameNumber = (a: number, b: number): boolean =>
  Math.abs(a - b) <= Math.max(tolerance * Math.max(Math.abs(a), Math.abs(b)), nothing);

/** Any error is as good as another, and no text is one. */
const showTheSame = (one: CellContent, other: CellContent): boolean => {
  const [a, b] = [one.value, other.value];
  if (typeof a === "number" && typeof b === "number") return sameNumber(a, b);
  if (showsError(one) || showsError(other)) return showsError(one) && showsError(other);
  return String(a ?? "") === String(b ?? "");
};

/** Cells by place, asked one by one. */
export class Contents {
  private readonly sheets: ReadonlyMap<string, SheetCells>;

  constructor(sheets: readonly SheetCells[]) {
    this.sheets = new Map(sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  }

  at({ sheet: name, row, column }: CellPlace): CellContent {
    const sheet = this.sheets.get(name.toLowerCase());
    return sheet?.rows[row - sheet.top]?.[column - sheet.left] ?? emptyCell;
  }
}

/** A cell that keeps a formula as a text shows it. */
const showsItself = (written: string | number, { value }: CellContent): boolean =>
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

/** Cells that are compared between two pauses. */
const cellsAtATime = 200;

/** What came of the conversions, from the sheets as they were and as they are. */
export function* proving(
  conversions: readonly Conversion[],
  before: readonly SheetCells[],
  after: readonly SheetCells[],
): Pieces<Proof> {
  const [was, is] = [new Contents(before), new Contents(after)];
  const dead: Conversion[] = [];
  const wrong: (readonly [Group, CellNote])[] = [];
  let [compared, pending] = [0, 0];
  for (const group of inGroups(conversions)) {
    const lifeless = new Set(group.filter((one) => showsItself(one.native, is.at(one))));
    addAll(dead, lifeless);
    const different = group.find((one) => {
      const [then, now] = [was.at(one), is.at(one)];
      const unknown = whyUnanswered(then) !== undefined;
      const isRight = one.isPlainer === true ? showsError(then) || !showsError(now) : showTheSame(then, now);
      return !lifeless.has(one) && !unknown && !isRight;
    });
    if (different !== undefined)
      wrong.push([group, said(group, was.at(different).value, is.at(different).value)]);
    compared += group.length;
    pending += group.length;
    if (pending < cellsAtATime) continue;
    pending = 0;
    yield compared / conversions.length;
  }
  return { dead, wrong, strayed: yield* straying(conversions, before, after) };
}

/** The same of functions that were put back, whatever they show. */
export function* standing(
  restored: readonly Conversion[],
  before: readonly SheetCells[],
  after: readonly SheetCells[],
): Pieces<Pick<Proof, "dead" | "strayed">> {
  const is = new Contents(after);
  const dead = restored.filter((one) => showsItself(one.native, is.at(one)));
  return { dead, strayed: yield* straying(restored, before, after) };
}

/** The places that two states of a sheet reach over, row by row. */
function* rowsOver(name: string, states: readonly SheetCells[]): Generator<readonly CellPlace[]> {
  const used = states.filter(({ rows }) => rows.length > 0);
  const [top, left] = [least(used.map((one) => one.top)), least(used.map((one) => one.left))];
  const bottom = greatest(used.map((one) => one.top + one.rows.length));
  const right = greatest(used.map((one) => one.left + one.width));
  for (let row = top; row < bottom; row++)
    yield Array.from({ length: right - left }, (_, i) => ({ sheet: name, row, column: left + i }));
}

const columnKey = ({ sheet, column }: CellPlace): string => `${sheet} ${column}`;

/** What a table fills a column with says the same of its own place as what was written there: all else was typed. */
class Fillings {
  private readonly written = new Map<string, Conversion[]>();
  private readonly relative = new Map<string, ReadonlySet<string>>();

  constructor(conversions: readonly Conversion[]) {
    for (const one of conversions) {
      const inColumn = this.written.get(columnKey(one)) ?? [];
      inColumn.push(one);
      this.written.set(columnKey(one), inColumn);
    }
  }

  isOne(place: CellPlace, formula: string): boolean {
    const written = this.written.get(columnKey(place));
    if (written === undefined) return false;
    const known = this.relative.get(columnKey(place)) ?? new Set(written.map(seenFromItself));
    this.relative.set(columnKey(place), known);
    return known.has(seenFromItself({ ...place, native: formula }));
  }
}

const seenFromItself = ({ native, row, column }: CellPlace & Pick<Conversion, "native">): string =>
  translateFormulaToR1C1(String(native), cellAddress(row, column));

/** Sheets that were converted are compared cell by cell, those beside the written ones with what they held. */
function* straying(
  written: readonly Conversion[],
  before: readonly SheetCells[],
  after: readonly SheetCells[],
): Pieces<readonly CellChange[]> {
  const strayed: CellChange[] = [];
  const meant = new Set(written.map(placeKey));
  const fillings = new Fillings(written);
  for (const sheet of before) {
    const states = [sheet, ...after.filter(({ name }) => name === sheet.name)];
    const [was, is] = [new Contents([sheet]), new Contents(states.slice(1))];
    for (const places of rowsOver(sheet.name, states)) {
      for (const place of places) {
        const [{ formula: then }, { formula: now }] = [was.at(place), is.at(place)];
        // Cells that a formula fills say nothing of their own: only what is a formula by now can have strayed.
        const differs = then !== now && isFormula(is.at(place)) && (then === "" || isFormula(was.at(place)));
        if (differs && !meant.has(placeKey(place)) && fillings.isOne(place, now))
          strayed.push({ ...place, before: asPlanned(now), after: asPlanned(then) });
      }
      yield 1;
    }
  }
  return strayed;
}

/** The cells that an earlier edition handed over, sorted out like those that carry their own original. */
import { greatest } from "../../../engine/lists";
import { firstCall, referencesIn, spillingCall } from "../../formulas";
import type { SheetCells } from "../../host";
import { blockOf, cellAddress } from "../../host";
import type { Conversion } from "../plan";
import { Contents } from "../proof";
import { sameContent } from "../same-content";
import type { EditedCell, HandedCell, SortedOut } from "../sort-out";
import { ExpectedCells, expectedFor } from "../still-native";
import type { Trust } from "../trusted";
import type { EarlierOriginal } from "./originals";

/** So many references are tried both ways: that edition did not note which of them a formula filled. */
const mostTried = 8;

function everyChoice(references: readonly string[]): readonly (readonly string[])[] {
  if (references.length > mostTried) return [references, []];
  return references.reduce<readonly (readonly string[])[]>(
    (choices, reference) => choices.flatMap((choice) => [[...choice, reference], choice]),
    [[]],
  );
}

/** A formula with the cells that it filled. */
type Group = readonly [EarlierOriginal, ...EarlierOriginal[]];

function inGroups(formulas: readonly EarlierOriginal[]): readonly Group[] {
  const groups: [EarlierOriginal, ...EarlierOriginal[]][] = [];
  for (const one of formulas) {
    const last = groups[groups.length - 1];
    if (one.original !== "" || last === undefined) groups.push([one]);
    else last.push(one);
  }
  return groups.filter(([{ original }]) => original.startsWith("="));
}

/** A spill is no wider, and no higher than what it is given. */
const widestSpill = 5;

const placeOf = ({ sheet, row, column }: EarlierOriginal): string => `${sheet} ${row} ${column}`;

/**
 * Whether the cells that a formula filled may be its: they are emptied when it comes back, so that a cell of the person's
 * must not be named among them.
 */
function isSpillOf([first, ...filled]: Group): boolean {
  if (filled.length === 0) return true;
  if (spillingCall(first.original) === undefined) return false;
  const heights = referencesIn(first.original).map((reference) => {
    const block = blockOf(reference.slice(reference.lastIndexOf("!") + 1));
    return block === undefined ? 1 : block.bottom - block.top + 1;
  });
  // Rows of a list that is written out are parted so.
  const height = greatest([...heights, first.original.split(";").length]);
  const places = new Set([first, ...filled].map(placeOf));
  return (
    places.size === filled.length + 1 &&
    filled.every(
      ({ sheet, row, column }) =>
        sheet === first.sheet &&
        row >= first.row &&
        row < first.row + height &&
        column >= first.column &&
        column < first.column + widestSpill,
    )
  );
}

/** Figures that edition left in the place of any formula, formulas in that of calls of ours alone. */
const isOfOurs = (group: Group): boolean =>
  firstCall(group[0].original) !== undefined || !group.some(({ native }) => String(native).startsWith("="));

const notOurs = "The original that it names calls none of our functions: it is left.";
const notItsCells =
  "The original that it names does not fill the cells that are said to be filled: it is left.";

/** A figure in a cell says nothing of where it came from; a formula must be what its original is handed over as. */
function isNativeOf(group: Group): boolean {
  const [{ original, row, column }] = group;
  const formulas = group.filter(({ native }) => String(native).startsWith("="));
  if (formulas.length === 0) return true;
  const far = (at: (one: EarlierOriginal) => number): number =>
    group.reduce((most, one) => Math.max(most, at(one) - at(group[0])), 0) + 1;
  const size = { rows: far((one) => one.row), columns: far((one) => one.column) };
  const references = referencesIn(original);
  return everyChoice(references).some((typed) => {
    const expected = expectedFor({ original, typed }, size);
    const cells = new ExpectedCells(expected?.cells ?? []);
    return formulas.every((one) => cells.hasAt(one.row - row, one.column - column, String(one.native)));
  });
}

/** What a cell of these sheets holds now. */
function contentOn(sheets: readonly SheetCells[]): (place: EarlierOriginal) => string {
  const contents = new Contents(sheets);
  return (place) => contents.at(place).formula;
}

/** How many cells of a sheet still hold what that edition put there. */
export function stillHanded(formulas: readonly EarlierOriginal[], sheet: SheetCells): number {
  const now = contentOn([sheet]);
  const here = formulas.filter((one) => one.sheet === sheet.name && one.original !== "");
  return here.filter((one) => !sameContent(one.original, now(one))).length;
}

export function sortEarlier(
  formulas: readonly EarlierOriginal[],
  sheets: readonly SheetCells[],
  trust: Trust,
): SortedOut {
  const there = new Set(sheets.map(({ name }) => name.toLowerCase()));
  const unchanged: HandedCell[] = [];
  const edited: EditedCell[] = [];
  const sorted = { unchanged, edited, foreign: [] as SortedOut["foreign"][number][] };
  const now = contentOn(sheets);
  for (const group of inGroups(formulas)) {
    const [first] = group;
    const { sheet, row, column, original } = first;
    // Of another sheet, or put back before.
    if (!there.has(sheet.toLowerCase()) || sameContent(original, now(first))) continue;
    const told = (note: string) => ({ sheet, address: cellAddress(row, column), formula: original, note });
    const isAsGiven = (one: EarlierOriginal): boolean => sameContent(String(one.native), now(one));
    // What a person has put into a cell that was filled stays, even where the formula beside it is asked for.
    const cells = group
      .filter((one) => one === first || isAsGiven(one))
      .map((one): Conversion => ({ ...one, original: now(one), native: one.original }));
    const handed: HandedCell = { sheet, row, column, original, cells, inputs: [] };
    const isAsWritten = group.every(isAsGiven);
    const whyNot =
      trust.whyNot(original, sheet) ??
      (isOfOurs(group) ? undefined : notOurs) ??
      (isSpillOf(group) ? undefined : notItsCells);
    if (whyNot !== undefined) sorted.foreign.push(told(whyNot));
    else if (!isAsWritten)
      edited.push({
        ...handed,
        told: told(
          `Edited since the hand-over: it holds ${now(first) || "nothing"} now and is left as it is.`,
        ),
      });
    else if (!isNativeOf(group))
      edited.push({ ...handed, told: told("It is not what its original is handed over as: it is left.") });
    else unchanged.push(handed);
  }
  return sorted;
}

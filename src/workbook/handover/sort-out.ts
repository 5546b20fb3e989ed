/** The handed-over cells of some sheets: those still as they were written, and those that are not. */
import type { Knowledge, LimitedInput } from "../formulas";
import { attempt, spillingCall } from "../formulas";
import type { CellNote, FormulaCell, Pause, SheetCells } from "../host";
import { blockOf, cellAddress, cellsOf, eachFormula, placeOf, shareDown } from "../host";
import type { Carried, CarriedPart } from "./carrier";
import { mentionsCarrier, readCarrier } from "./carrier";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { Conversion } from "./plan";
import type { SpillSize } from "./still-native";
import { ExpectedCells, expectedFor } from "./still-native";
import type { Trust } from "./trusted";

export interface HandedCell extends CellPlace {
  readonly original: string;
  /** The cells that get something else when the original is put back, its own first. */
  readonly cells: readonly Conversion[];
  readonly inputs: readonly LimitedInput[];
}

export interface EditedCell extends HandedCell {
  readonly told: CellNote;
}

export interface SortedOut {
  readonly unchanged: readonly HandedCell[];
  /** Changed since the hand-over; the original can be put back all the same. */
  readonly edited: readonly EditedCell[];
  /** Not put back in any case: what the cell says of itself is not to be trusted. */
  readonly foreign: readonly CellNote[];
}

interface SortedSheet extends SortedOut {
  /** Those of the foreign that a cell filled which is gone. */
  readonly orphans: readonly CellPlace[];
}

interface Found<What> {
  readonly sheet: SheetCells;
  readonly cell: FormulaCell;
  readonly carrier: What;
}

interface Gathered {
  readonly whole: Found<Carried>[];
  readonly parts: Map<string, Found<CarriedPart>[]>;
  readonly foreign: CellNote[];
}

const told = ({ name }: SheetCells, { address, formula }: FormulaCell, note: string): CellNote => ({
  sheet: name,
  address,
  formula,
  note,
});

/** Where a part's formula stood, as a key. */
function anchorKey(sheet: SheetCells, { anchor }: CarriedPart): string {
  const place = placeOf(anchor, sheet.name);
  const block = place === undefined ? undefined : blockOf(place.address);
  return place === undefined || block === undefined
    ? ""
    : placeKey({ sheet: place.sheet, row: block.top, column: block.left });
}

async function gathered(sheet: SheetCells, pause: Pause): Promise<Gathered> {
  const found: Gathered = { whole: [], parts: new Map(), foreign: [] };
  for (const cell of eachFormula(sheet)) {
    await pause(shareDown(sheet, cell), 1);
    const carrier = readCarrier(cell.formula);
    if (carrier === undefined) {
      if (mentionsCarrier(cell.formula))
        found.foreign.push(
          told(sheet, cell, "Something was built on what was handed over here: it is left."),
        );
    } else if ("damaged" in carrier) {
      found.foreign.push(
        told(sheet, cell, "The original that it names cannot be read as a formula of ours: it is left."),
      );
    } else if ("anchor" in carrier) {
      const key = anchorKey(sheet, carrier);
      const parts = found.parts.get(key) ?? [];
      parts.push({ sheet, cell, carrier });
      found.parts.set(key, parts);
    } else found.whole.push({ sheet, cell, carrier });
  }
  return found;
}

const keyOf = ({ sheet: { name }, cell: { row, column } }: Found<unknown>): string =>
  placeKey({ sheet: name, row, column });

const conversion = ({ sheet, cell }: Found<unknown>, original: string): Conversion => ({
  sheet: sheet.name,
  row: cell.row,
  column: cell.column,
  original: cell.formula,
  native: original,
});

function extentOf({ cell }: Found<Carried>, filled: readonly Found<CarriedPart>[]): SpillSize {
  const far = (at: (one: FormulaCell) => number): number =>
    filled.reduce((most, part) => Math.max(most, at(part.cell) - at(cell)), 0) + 1;
  return { rows: far(({ row }) => row), columns: far(({ column }) => column) };
}

/** Why a spill cannot be put back: another's content stands in a cell that it would fill. */
function blockedAt(
  one: Found<Carried>,
  parts: readonly Found<CarriedPart>[],
  knowledge: Knowledge,
): string | undefined {
  const { sheet, cell, carrier } = one;
  const call = spillingCall(carrier.original);
  const shown = call === undefined ? [] : attempt(() => knowledge.from(sheet.name).spillOf(call));
  if ("why" in shown) return undefined;
  const own = new Set([one, ...parts].map(keyOf));
  const [rows, columns] = [shown.length, shown[0]?.length ?? 0];
  if (rows === 0) return undefined;
  const block = {
    top: cell.row,
    left: cell.column,
    bottom: cell.row + rows - 1,
    right: cell.column + columns - 1,
  };
  const there = cellsOf(sheet, block);
  for (const [i, row] of there.entries())
    for (const [j, { formula }] of row.entries()) {
      const [at, across] = [cell.row + i, cell.column + j];
      if (formula !== "" && !own.has(placeKey({ sheet: sheet.name, row: at, column: across })))
        return cellAddress(at, across);
    }
  return undefined;
}

const noPause: Pause = () => Promise.resolve();

/** Sorts out what stands on a sheet; only its cells are looked at, whatever a list elsewhere says. */
export async function sortedOut(
  sheet: SheetCells,
  knowledge: Knowledge,
  trust: Trust,
  pause: Pause = noPause,
): Promise<SortedSheet> {
  const { whole, parts, foreign } = await gathered(sheet, pause);
  const unchanged: HandedCell[] = [];
  const edited: EditedCell[] = [];
  for (const [i, one] of whole.entries()) {
    await pause(i, whole.length);
    const { cell, carrier } = one;
    const filled = parts.get(keyOf(one)) ?? [];
    parts.delete(keyOf(one));
    const { original } = carrier;
    const whyNot = trust.whyNot(original, sheet.name);
    if (whyNot !== undefined) {
      foreign.push(told(sheet, cell, whyNot));
      continue;
    }
    const expected = expectedFor(carrier, extentOf(one, filled));
    const cells = [conversion(one, original), ...filled.map((part) => conversion(part, ""))];
    const place = { sheet: sheet.name, row: cell.row, column: cell.column };
    const handed = { ...place, original, cells, inputs: expected?.inputs ?? [] };
    const change = (note: string): void => {
      edited.push({ ...handed, told: told(sheet, { ...cell, formula: original }, note) });
    };
    const cellsThen = new ExpectedCells(expected?.cells ?? []);
    const blocked = blockedAt(one, filled, knowledge);
    const isAsWritten = (part: Found<CarriedPart>): boolean =>
      cellsThen.hasAt(part.cell.row - cell.row, part.cell.column - cell.column, part.carrier.first);
    if (!cellsThen.isFirst(carrier.first))
      change(`Edited since the hand-over: it works out ${carrier.first} now and is left as it is.`);
    else if (!filled.every(isAsWritten))
      change("Edited since the hand-over in a cell that it fills, and left as it is.");
    else if (blocked !== undefined)
      change(`${blocked} stands where it would fill cells: clear that, then bring it back.`);
    else unchanged.push(handed);
  }
  const orphans: CellPlace[] = [];
  for (const left of parts.values())
    for (const { cell } of left) {
      foreign.push(told(sheet, cell, "The cell that filled it is not handed over any more: it is left."));
      orphans.push({ sheet: sheet.name, row: cell.row, column: cell.column });
    }
  return { unchanged, edited, foreign, orphans };
}

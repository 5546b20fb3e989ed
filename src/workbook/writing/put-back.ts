/** Puts back what somebody typed in the very moment that it was written over, wherever what was written stands by now. */
import type { Range, RequestContext } from "../host";
import { codeOf, letGo } from "../host";
import { asContent, asSent, couldBeRead } from "./content";
import type { Shift } from "./moved-formula";
import { isMovedFormula, movedContent } from "./moved-formula";
import type { Run } from "./runs";
import type { Seen } from "./seen";
import { heldRangesOf, isAfter, isBefore, told } from "./seen";
import type { CellChange } from "./where-stands";

/** A cell to be given something, within a range that goes along with it. */
interface Target {
  readonly change: CellChange;
  /** What was asked for, wherever the cell has moved to and whatever was met in it since. */
  readonly asked: CellChange;
  readonly held: Range;
  /** How far down in that range, which had so many rows. */
  readonly down: number;
  readonly rows: number;
  /** Somebody typed here as this was put back: what is here by now is that, or what another cell's formula fills in. */
  readonly isMet?: true;
}

/** A run as it was written, and its range. */
export interface Written {
  readonly run: Run<CellChange>;
  readonly range: Range;
}

/** The cells of a run, each with a range of its own. */
export const eachCell = ({ run, range }: Written): readonly Written[] =>
  run.cells.length === 1
    ? []
    : run.cells.map((change, i) => ({
        run: { ...run, row: run.row + i, cells: [change] },
        range: range.getCell(i, 0),
      }));

/** Cells one under another where they were written, and the range that has gone along with them since. */
export interface HeldSince {
  readonly run: Pick<Run<CellChange>, "sheet" | "row" | "column"> & {
    readonly cells: { readonly length: number };
  };
  readonly range: Range;
}

/** Where a cell was written among ranges that were held since, if it is in one of them. */
export function heldWith(written: readonly HeldSince[], { sheet, row, column }: CellChange) {
  const found = written.find(
    ({ run }) =>
      run.sheet === sheet && run.column === column && row >= run.row && row < run.row + run.cells.length,
  );
  return found && { held: found.range, down: row - found.run.row, rows: found.run.cells.length };
}

interface PutBackOptions {
  /** Ranges that were held since the cells were written; the others are found by their places. */
  readonly written: readonly HeldSince[];
  /** Told of what is still to be put back where the host fails. */
  readonly owes: ((cells: readonly CellChange[]) => void) | undefined;
  /** The format that a cell has, where it lost that for a moment. */
  readonly formatOf?: (cell: CellChange) => string | undefined;
  /** The format that a cell is given back with its content. */
  readonly formatFor?: (cell: CellChange) => string | undefined;
  /** Whether a formula of ours may be filling the cell with this. */
  readonly isFilled?: (cell: CellChange, value: unknown) => boolean;
}

/** So often is looked again: somebody may write again between any two requests. */
const tries = 4;

/** The host's words for a cell that is gone. */
const gone: readonly string[] = ["ItemNotFound", "InvalidReference"];
/** Of what a request was to hold that failed before it came to that. */
export const neverHeld = "InvalidObjectPath";

const valueOf = (rows: unknown): unknown => (rows as readonly (readonly unknown[])[])[0]?.[0];
const seenIn = (change: CellChange, cell: Range): Seen => ({
  change,
  content: valueOf(cell.formulas),
  value: valueOf(cell.values),
  format: valueOf(cell.numberFormat),
});

/** Whether a cell holds what was written, as it reads after it was moved. */
function stands(seen: Seen, shift: Shift): boolean {
  const { before } = seen.change;
  if (isBefore(seen)) return true;
  // A cell of another format may have read a date or a number in our text.
  const isRead = typeof before === "string" && couldBeRead(before) && typeof seen.content === "number";
  if (isRead && seen.content === seen.value) return true;
  const isFormula = typeof before === "object" && typeof seen.content === "string";
  return isFormula && seen.content !== seen.value && isMovedFormula(seen.content, before.formula, shift);
}

/** Whether a cell that was emptied is filled by a formula, or still shows what one filled in that is gone by now. */
const showsFilled = ({ change, content, value }: Seen): boolean =>
  change.before === "" && typeof content === "number" && content === value;

const shiftOf = ({ row, column }: CellChange, cell: Range): Shift => ({
  down: cell.rowIndex - row,
  across: cell.columnIndex - column,
});

/** Whether a cell still holds what it is to be given something in place of. */
const isThere = ({ change, isMet }: Target, cell: Range, seen: Seen): boolean =>
  stands(seen, shiftOf(change, cell)) || (isMet === true && showsFilled(seen));

class PuttingBack {
  private targets: readonly Target[];
  private readonly cells: Range[] = [];
  /** What could not be put back. */
  private readonly left: CellChange[] = [];

  constructor(
    private readonly context: RequestContext,
    changes: readonly CellChange[],
    private readonly options: PutBackOptions,
  ) {
    const rangeOf = heldRangesOf(context);
    this.targets = changes.map((change) => {
      const { sheet, row, column } = change;
      const written = heldWith(options.written, change);
      if (written !== undefined) return { change, asked: change, ...written };
      const held = rangeOf({ sheet, row, column, cells: [change] });
      this.cells.push(held);
      return { change, asked: change, held, down: 0, rows: 1 };
    });
  }

  /** The cells as they are by now, each kept for the requests to come. */
  private async look(): Promise<readonly (readonly [target: Target, cell: Range])[]> {
    const looked = this.targets.map((target): readonly [Target, Range] => {
      const cell = target.held.getCell(target.down, 0);
      this.cells.push(cell);
      cell.load(`${told},rowIndex,columnIndex`);
      target.held.load("rowCount");
      return [target, cell];
    });
    await this.context.sync();
    return looked;
  }

  /** Rows were put in or taken out among those of a range: the cell is the one that alone holds what was written. */
  private async lookFor(target: Target): Promise<readonly Target[]> {
    const { change, asked, held, down, rows } = target;
    held.load(`${told},rowCount,rowIndex,columnIndex`);
    await this.context.sync();
    const by = held.rowCount - rows;
    const places = [...new Set([down, down + by])].filter((at) => {
      const [content, value] = [held.formulas[at]?.[0] as unknown, held.values[at]?.[0] as unknown];
      const shift = { down: held.rowIndex + at - change.row, across: held.columnIndex - change.column };
      return at >= 0 && content !== undefined && stands({ change, content, value, format: "" }, shift);
    });
    // What was put in is empty, and what stands before it has not moved within the range.
    const empty = held.formulas.findIndex(([content]) => content === "");
    const [first, second] = places;
    const isAbove = by > 0 && empty >= 0 && change.before !== "" ? down < empty : undefined;
    const at = second === undefined ? first : isAbove === undefined ? undefined : isAbove ? down : down + by;
    return at === undefined ? [] : [{ change, asked, held, down: at, rows: held.rowCount }];
  }

  /** Writes to cells, and is told in the same request what somebody typed there since they were looked at. */
  private async write(cells: readonly (readonly [Target, Range])[]): Promise<readonly Target[]> {
    const { formatOf } = this.options;
    const all = cells.map(([target, cell]) => {
      const { change, asked } = target;
      const format = formatOf?.(asked) ?? String(valueOf(cell.numberFormat));
      // What was read where the cell was then is to read there what it read.
      const sent = movedContent(change.after, change, shiftOf(change, cell));
      const at = { ...change, row: cell.rowIndex, column: cell.columnIndex, before: sent, after: sent };
      cell.load(`${told},rowIndex,columnIndex`);
      cell.formulas = [[asSent(sent, format)]];
      const formatFor = this.options.formatFor?.(asked);
      if (formatFor !== undefined) cell.numberFormat = [[formatFor]];
      return { target, cell, at };
    });
    await this.context.sync();
    return all.flatMap(({ target, cell, at }): readonly Target[] => {
      const seen = seenIn(target.change, cell);
      const isMoved = cell.rowIndex !== at.row || cell.columnIndex !== at.column;
      const once = { asked: target.asked, held: cell, down: 0, rows: 1 };
      const isOurs = showsFilled(seen) && this.options.isFilled?.(target.asked, seen.value) === true;
      if (!isOurs && !isThere(target, cell, seen))
        return [{ ...once, change: { ...at, after: asContent(seen.content, seen.value) }, isMet: true }];
      return isMoved && typeof at.after === "object" ? [{ ...once, change: at }] : [];
    });
  }

  private async once(isLast: boolean): Promise<void> {
    const looked = await this.look();
    const [ready, moved, other]: [(readonly [Target, Range])[], Target[], Target[]] = [[], [], []];
    for (const [target, cell] of looked) {
      const { change, held, rows } = target;
      const seen = seenIn(change, cell);
      if (held.rowCount !== rows) moved.push(target);
      else if (isThere(target, cell, seen)) ready.push([target, cell]);
      // What our own formula fills is ours once that formula is gone, though a host may show it for a while.
      else if (isAfter(seen)) continue;
      else if (isLast) this.left.push(target.asked);
      else other.push(showsFilled(seen) ? { ...target, isMet: true } : target);
    }
    const rest = [...other];
    for (const one of moved) {
      const found = await this.lookFor(one);
      if (found.length === 0) this.left.push(one.asked);
      rest.push(...found);
    }
    rest.push(...(await this.write(ready)));
    this.targets = rest;
  }

  /** Answers with what could not be put back. */
  async run(): Promise<readonly CellChange[]> {
    try {
      for (let tried = 1; tried <= tries && this.targets.length > 0; tried++)
        await this.once(tried === tries);
      return [...this.left, ...this.targets.map(({ asked }) => asked)];
    } catch (error) {
      const changes = this.targets.map(({ change }) => change);
      const isHeld = this.options.written.length > 0;
      const isNeverHeld = isHeld && codeOf(error) === neverHeld;
      if (!isNeverHeld && !gone.includes(codeOf(error))) {
        this.options.owes?.([...this.left, ...changes]);
        throw error;
      }
      const askedFor = new Map(this.targets.map(({ change, asked }) => [change, asked]));
      if (!isNeverHeld && changes.length === 1) return [...this.left, ...askedFor.values()];
      // Where one of several is gone the others are put back all the same.
      const parts = isNeverHeld ? [changes] : changes.map((one) => [one]);
      const options = isNeverHeld ? { ...this.options, written: [] } : this.options;
      const rest = [...this.left];
      for (const part of parts)
        for (const one of await putBack(this.context, part, options)) rest.push(askedFor.get(one) ?? one);
      return rest;
    } finally {
      letGo(this.cells);
    }
  }
}

/** Each cell is given what it is to have after, where what it held before stands; answers with those that were not. */
export const putBack = (
  ...given: ConstructorParameters<typeof PuttingBack>
): Promise<readonly CellChange[]> => new PuttingBack(...given).run();

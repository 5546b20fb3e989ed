/** Puts back what somebody typed in the very moment that it was written over, wherever what was written stands by now. */
import { tokenize } from "@borgar/fx";
import type { Block, Content } from "../host";
import { forNow, readBlocks, sheetsByName } from "../host";
import { asContent, asSent, holds, isSpeltAlike } from "./content";
import type { Run } from "./runs";
import { columnRuns } from "./runs";
import type { Asked, Seen } from "./seen";
import { isAfter, isBefore, seenOf } from "./seen";
import type { CellChange } from "./where-stands";

/** Ranges for one request alone: those that were to be used once more would all be told of again at the end. */
export function rangesOf(context: Excel.RequestContext): (run: Run<unknown>) => Excel.Range {
  const sheetNamed = sheetsByName(context);
  return ({ sheet, row, column, cells }) =>
    forNow(sheetNamed(sheet).getRangeByIndexes(row, column, cells.length, 1));
}

/** Asks what the cells of some changes hold. */
export function ask(context: Excel.RequestContext, changes: readonly CellChange[]): readonly Asked[] {
  const rangeOf = rangesOf(context);
  return columnRuns(changes).map((run) => {
    const range = rangeOf(run);
    range.load("formulas,values,numberFormat");
    return { run, range };
  });
}

interface Shift {
  readonly down: number;
  readonly across: number;
}

type Place = Pick<CellChange, "sheet" | "row" | "column">;

const nowhere: Shift = { down: 0, across: 0 };
const placeOf = ({ sheet, row, column }: Place): string => `${sheet} ${row} ${column}`;
const moved = <P extends Place>(one: P, { down, across }: Shift): P => ({
  ...one,
  row: one.row + down,
  column: one.column + across,
});
const letters = (reference: string): readonly string[] => reference.split(/([A-Z]+|\d+)/i);
const columnNumber = (name: string): number =>
  [...name.toUpperCase()].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);

/** Whether a reference is that of before, or the same with some of its rows or columns moved along. */
function isMovedReference(now: string, before: string, { down, across }: Shift): boolean {
  const [parts, old] = [letters(now), letters(before)];
  return (
    parts.length === old.length &&
    parts.every((part, i) => {
      const was = old[i] ?? "";
      if (part === was) return true;
      if (/^\d+$/.test(part) && /^\d+$/.test(was)) return Number(part) === Number(was) + down;
      if (/^[A-Z]+$/i.test(part) && /^[A-Z]+$/i.test(was))
        return columnNumber(part) === columnNumber(was) + across;
      return false;
    })
  );
}

/** Whether a formula is one that was moved along with the rows and columns that it stands in and reads. */
function isMovedFormula(now: string, before: string, shift: Shift): boolean {
  if (isSpeltAlike(now, before)) return true;
  const [parts, old] = [tokenize(now), tokenize(before)];
  return (
    parts.length === old.length &&
    parts.every(({ type, value }, i) => {
      const was = old[i];
      if (was?.type !== type) return false;
      return value === was.value || (type === "range" && isMovedReference(value, was.value, shift));
    })
  );
}

const isMoved = (wanted: Content, now: unknown, value: unknown, shift: Shift): boolean =>
  typeof wanted === "object"
    ? typeof now === "string" && now.startsWith("=") && isMovedFormula(now, wanted.formula, shift)
    : holds(wanted, now, value);

interface Held {
  readonly formula: unknown;
  readonly value: unknown;
}

/** What stands in the column and in the row of a change, by places. */
async function beside(
  context: Excel.RequestContext,
  { sheet: id, row, column }: CellChange,
): Promise<ReadonlyMap<string, Held>> {
  const held = new Map<string, Held>();
  const sheet = context.workbook.worksheets.getItem(id);
  const used = sheet.getUsedRangeOrNullObject(true);
  used.load("rowIndex,columnIndex,rowCount,columnCount");
  await context.sync();
  if (used.isNullObject) return held;
  const [top, left] = [used.rowIndex, used.columnIndex];
  const blocks: readonly Block[] = [
    { top, bottom: top + used.rowCount - 1, left: column, right: column },
    { top: row, bottom: row, left, right: left + used.columnCount - 1 },
  ];
  const read = await readBlocks(
    context,
    blocks.map((block) => ({ sheet, block })),
  );
  blocks.forEach((block, at) => {
    read[at]?.formulas.forEach((cells, i) => {
      cells.forEach((formula, j) => {
        const place = { sheet: id, row: block.top + i, column: block.left + j };
        held.set(placeOf(place), { formula, value: read[at]?.values[i]?.[j] });
      });
    });
  });
  return held;
}

/**
 * Where what was written stands since rows or columns were put in or taken out beside it: as far away as something else
 * that was written stands from its place, since a cell that holds the same may have held it all along.
 */
async function whereMoved(
  context: Excel.RequestContext,
  change: CellChange,
  planned: readonly CellChange[],
): Promise<CellChange> {
  const held = await beside(context, change);
  const stands = (one: CellChange, shift: Shift): boolean => {
    const now = held.get(placeOf(moved(one, shift)));
    return now !== undefined && isMoved(one.before, now.formula, now.value, shift);
  };
  const others = planned
    .filter(({ sheet, after }) => sheet === change.sheet && after !== "")
    .map(({ after, ...one }) => ({ ...one, before: after, after }))
    .filter((one) => placeOf(one) !== placeOf(change) && !stands(one, nowhere));
  const shifts = [...held.keys()].map((at): Shift => {
    const [, row = "", column = ""] = at.split(" ");
    return { down: Number(row) - change.row, across: Number(column) - change.column };
  });
  const found = shifts.find((shift) => stands(change, shift) && others.some((one) => stands(one, shift)));
  return found === undefined ? change : moved(change, found);
}

/** So often is looked again: rows may be put in between any two requests. */
const tries = 5;

interface PutBackOptions {
  /** All that the work writes or wrote, which tells where it stands by now. */
  readonly planned: readonly CellChange[];
  /** Told of what is still to be put back where the host fails. */
  readonly owes?: ((cells: readonly CellChange[]) => void) | undefined;
  /** The format that a cell has, where it lost that for a moment. */
  readonly formatOf?: (cell: CellChange) => string | undefined;
}

/** What a cell held that something was put back into by mistake: it was moved there in that very moment. */
const metThere = ({ change, content, value }: Seen): CellChange => {
  const { sheet, row, column, after } = change;
  return { sheet, row, column, before: after, after: asContent(content, value) };
};

class PuttingBack {
  constructor(
    private readonly context: Excel.RequestContext,
    private rest: readonly CellChange[],
    private readonly options: PutBackOptions,
  ) {}

  /** Of sheets that are gone by now nothing is put back. */
  private async leaveGone(): Promise<void> {
    const { worksheets } = this.context.workbook;
    worksheets.load("items/id");
    await this.context.sync();
    const there = new Set(worksheets.items.map(({ id }) => id));
    this.rest = this.rest.filter(({ sheet }) => there.has(sheet));
  }

  /** Writes to what stands in its place, and is told in the same request what it meets there. */
  private async write(standing: readonly Seen[]): Promise<readonly Seen[]> {
    const { formatOf } = this.options;
    const asked = ask(
      this.context,
      standing.map(({ change }) => change),
    );
    const rangeOf = rangesOf(this.context);
    for (const { change, format } of standing) {
      const sent = asSent(change.after, formatOf?.(change) ?? String(format));
      rangeOf({ ...change, cells: [change] }).formulas = [[sent]];
    }
    const missed = (): readonly Seen[] => seenOf(asked).filter((one) => !isBefore(one));
    try {
      await this.context.sync();
    } catch (error) {
      this.rest = [...missed().map(metThere), ...this.rest];
      throw error;
    }
    return missed();
  }

  private async once(isFirst: boolean): Promise<void> {
    const looked = ask(this.context, this.rest);
    await this.context.sync();
    const seen = seenOf(looked).filter((one) => !isAfter(one));
    const elsewhere = seen.flatMap((one) => (isBefore(one) ? [] : [one.change]));
    this.rest = seen.map(({ change }) => change);
    const missed = await this.write(seen.filter(isBefore));
    const met = missed.map(metThere);
    this.rest = [...met, ...missed.map(({ change }) => change), ...elsewhere];
    // What our own formula fills is seen to be ours once that formula is gone, in the place where it was.
    if (isFirst || elsewhere.length === 0) return;
    const found = new Map<CellChange, CellChange>();
    for (const one of elsewhere) found.set(one, await whereMoved(this.context, one, this.options.planned));
    this.rest = this.rest.map((one) => found.get(one) ?? one);
  }

  async run(): Promise<void> {
    try {
      await this.leaveGone();
      for (let tried = 0; tried < tries && this.rest.length > 0; tried++) await this.once(tried === 0);
    } catch (error) {
      this.options.owes?.(this.rest);
      throw error;
    }
  }
}

/**
 * Each cell is given what it is to have after, where what it held before stands. Where rows were put in at the very
 * moment that it is written, what was met is put back in turn, and the cell is looked for.
 */
export const putBack = (...given: ConstructorParameters<typeof PuttingBack>): Promise<void> =>
  new PuttingBack(...given).run();

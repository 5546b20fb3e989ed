/** Cells of somebody's sheet while they are written: what they held, what they are to hold, and what a table fills beside. */
import { greatest, least } from "../../engine/lists";
import type {
  Block,
  Content,
  Pause,
  Pieces,
  Progress,
  ReadBlock,
  RequestContext,
  Wanted,
  Worksheet,
} from "../host";
import {
  blockFor,
  cellAddress,
  inSlices,
  letGo,
  pass,
  rangeOf,
  readBlocks,
  sendBlocks,
  slices,
  untold,
} from "../host";
import type { CellStep } from "../marks";
import { asContent, asSent, isMeant, textFormat } from "./content";
import { cellsAtATime, runsWhere } from "./runs";
import type { CellChange } from "./where-stands";

export interface Cells {
  readonly sheet: Worksheet;
  readonly top: number;
  readonly left: number;
  readonly rows: readonly (readonly Content[])[];
  /** The number format that the cells were given, where that is known. */
  readonly format?: string;
  /** What each of the cells held when this was planned, row by row or the same for all, where that was looked at. */
  readonly held?: unknown;
}

/** What is told of the work before cells are written. */
export const preparing = "Preparing what is written";

/** A cell of somebody's sheet before anything was written to it. */
interface Before {
  readonly content: unknown;
  readonly value: unknown;
  readonly format: unknown;
}

/** Cells that are written to, with the columns of their table that a host may fill along with them. */
export interface Watched {
  readonly sheet: Worksheet;
  /** Those in one table are looked at together: what one of them is meant to hold is no surprise beside another. */
  readonly all: readonly Cells[];
  readonly whole: Block;
  readonly table: string | undefined;
}

/** Where cells are written, and the table that they stand in. */
interface Met {
  readonly cells: Cells;
  readonly block: Block;
  readonly table: string | undefined;
}

const around = (blocks: readonly Block[]): Block => {
  const [first, ...others] = blocks;
  return others.reduce(
    (whole, { top, left, bottom, right }) => ({
      top: Math.min(whole.top, top),
      left: Math.min(whole.left, left),
      bottom: Math.max(whole.bottom, bottom),
      right: Math.max(whole.right, right),
    }),
    first ?? { top: 0, left: 0, bottom: 0, right: 0 },
  );
};

function byTable(met: readonly Met[]): readonly Watched[] {
  const inTables = new Map<string, Met[]>();
  const groups: (readonly Met[])[] = [];
  for (const one of met) {
    const known = one.table === undefined ? undefined : inTables.get(one.table);
    if (known !== undefined) {
      known.push(one);
      continue;
    }
    const group = [one];
    groups.push(group);
    if (one.table !== undefined) inTables.set(one.table, group);
  }
  return groups.flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const all = group.map(({ cells }) => cells);
    const whole = around(group.map(({ block }) => block));
    return [{ sheet: first.cells.sheet, all, whole, table: first.table }];
  });
}

/** So many ranges are asked about in one request. */
const rangesAtATime = 500;

export async function watchedCells(
  context: RequestContext,
  all: readonly Cells[],
  progress: Progress,
): Promise<readonly Watched[]> {
  const met: Met[] = [];
  for (let from = 0; from < all.length; from += rangesAtATime) {
    pass(progress, from, all.length, preparing);
    met.push(...(await metAmong(context, all.slice(from, from + rangesAtATime))));
  }
  return byTable(met);
}

async function metAmong(context: RequestContext, all: readonly Cells[]): Promise<readonly Met[]> {
  const met = all.map((cells) => {
    const block = blockFor(cells);
    const range = rangeOf({ sheet: cells.sheet, block });
    const tables = range.getTables(false);
    tables.load("items/name");
    return { cells, block, range, tables };
  });
  await context.sync();
  letGo(met.map(({ range }) => range));
  const bodies = met.map(({ cells, block, tables }) => ({
    cells,
    block,
    name: tables.items[0]?.name,
    ranges: tables.items.map((table) => {
      const range = table.getRange();
      range.load("rowIndex,rowCount");
      return range;
    }),
  }));
  if (bodies.some(({ ranges }) => ranges.length > 0)) await context.sync();
  return bodies.map(({ cells, block, name, ranges }) => ({
    cells,
    table: name,
    block: {
      ...block,
      top: least([block.top, ...ranges.map(({ rowIndex }) => rowIndex)]),
      bottom: greatest([block.bottom, ...ranges.map(({ rowIndex, rowCount }) => rowIndex + rowCount - 1)]),
    },
  }));
}

/** Addresses of cells that hold something else than was meant for them. */
interface Differences {
  readonly written: readonly string[];
  readonly beside: readonly string[];
}

/** A cell that is written to, rows and columns counted within the whole. */
interface Target {
  readonly row: number;
  readonly column: number;
  readonly meant: Content;
  /** What it held when this was planned, where that was looked at. */
  readonly held: unknown;
}

export class Stretch {
  /** What is meant for the cells of the whole, row by row. */
  private readonly meant: (Content | undefined)[][] = [];

  constructor(
    private readonly context: RequestContext,
    private readonly watched: Watched,
    private readonly before: ReadBlock,
  ) {
    const { all, whole } = watched;
    for (const { top, left, rows } of all)
      for (const [i, row] of rows.entries()) {
        const line = (this.meant[top - whole.top + i] ??= []);
        for (const [j, content] of row.entries()) line[left - whole.left + j] = content;
      }
  }

  get table(): string | undefined {
    return this.watched.table;
  }

  get sheet(): Worksheet {
    return this.watched.sheet;
  }

  get wanted(): Wanted {
    return { sheet: this.sheet, block: this.watched.whole };
  }

  private heldAt(row: number, column: number): Before {
    return {
      content: this.before.formulas[row]?.[column],
      value: this.before.values[row]?.[column],
      format: this.before.formats[row]?.[column],
    };
  }

  /** What is meant for a cell of the whole, or undefined for one that is not written to. */
  private meantAt(row: number, column: number): Content | undefined {
    return this.meant[row]?.[column];
  }

  /** A cell formatted as text would make text of a formula or a number. */
  private isDeadFormat(row: number, column: number): boolean {
    const meant = this.meantAt(row, column);
    return meant !== undefined && typeof meant !== "string" && this.heldAt(row, column).format === textFormat;
  }

  private *targets(): Generator<Target> {
    const { all, whole } = this.watched;
    for (const { top, left, rows, held } of all)
      for (const [i, row] of rows.entries())
        for (const [j, meant] of row.entries()) {
          const one: unknown = Array.isArray(held) ? (held as readonly unknown[][])[i]?.[j] : held;
          yield { row: top - whole.top + i, column: left - whole.left + j, meant, held: one };
        }
  }

  /** Every cell that is written to, as it is and as it is to be. */
  private *each<T>(told: (target: Target, held: Before) => T): Pieces<readonly T[]> {
    const all: T[] = [];
    for (const target of this.targets()) {
      all.push(told(target, this.heldAt(target.row, target.column)));
      if (all.length % cellsAtATime === 0) yield 0;
    }
    return all;
  }

  private placeOf({ row, column }: Target): { readonly row: number; readonly column: number } {
    const { top, left } = this.watched.whole;
    return { row: top + row, column: left + column };
  }

  /** The cells for the mark. */
  steps(): Pieces<readonly CellStep[]> {
    return this.each((target, { content, value }) => ({
      ...{ ...this.placeOf(target), was: asContent(content, value), to: target.meant },
      ...(this.isDeadFormat(target.row, target.column) ? { format: textFormat } : {}),
    }));
  }

  changes(sheet: string): Pieces<readonly CellChange[]> {
    return this.each((target, { content, value }) => ({
      ...{ ...this.placeOf(target), sheet, before: asContent(content, value), after: target.meant },
    }));
  }

  /** Cells that do not hold what they held when this was planned. */
  changedSince(): readonly { readonly row: number; readonly column: number }[] {
    return [...this.targets()].flatMap((target) => {
      const { content, value } = this.heldAt(target.row, target.column);
      const isSame = target.held === undefined || content === target.held || value === target.held;
      return isSame ? [] : [this.placeOf(target)];
    });
  }

  /** Lets formulas and numbers live in cells that were formatted as text. */
  async enliven(pause: Pause): Promise<void> {
    const { whole } = this.watched;
    const isDead = (row: number, column: number) => this.isDeadFormat(row, column);
    const runs = await inSlices(runsWhere(whole, isDead), pause);
    for (const [i, { row, column, count }] of runs.entries()) {
      this.sheet.getRangeByIndexes(whole.top + row, whole.left + column, count, 1).numberFormat = Array.from(
        { length: count },
        () => ["General"],
      );
      if ((i + 1) % rangesAtATime === 0) await this.context.sync();
    }
  }

  /** Where the host holds something else: among what was written, and beside it. */
  *differences(now: ReadBlock): Pieces<Differences> {
    const [written, beside]: [string[], string[]] = [[], []];
    let seen = 0;
    for (const [row, line] of now.formulas.entries()) {
      for (const [column, content] of line.entries()) {
        if (++seen % cellsAtATime === 0) yield row / now.formulas.length;
        const meant = this.meantAt(row, column);
        if (meant !== undefined && !isMeant(meant, content, now.values[row]?.[column]))
          written.push(this.addressOf(row, column));
        if (meant === undefined && this.isFilled(now, row, column)) beside.push(this.addressOf(row, column));
      }
    }
    return { written, beside };
  }

  /** Whether a table has filled a cell of its own accord: what somebody types there meanwhile is no such formula. */
  private isFilled(now: ReadBlock, row: number, column: number): boolean {
    const [content, value] = [now.formulas[row]?.[column], now.values[row]?.[column]];
    const isFormulaNow = typeof asContent(content, value) === "object";
    return this.table !== undefined && isFormulaNow && content !== this.heldAt(row, column).content;
  }

  private addressOf(row: number, column: number): string {
    const { whole } = this.watched;
    return cellAddress(whole.top + row, whole.left + column);
  }

  /** What a table has filled beside what was written gets back what it held, each run of it in one go. */
  async takeBackBeside(): Promise<void> {
    if (this.table === undefined) return;
    const [now] = await readBlocks(this.context, [this.wanted]);
    if (now === undefined) return;
    const { whole } = this.watched;
    const isChanged = (row: number, column: number) => {
      const meant = this.meantAt(row, column);
      return (
        this.isFilled(now, row, column) ||
        (meant !== undefined && isMeant(meant, now.formulas[row]?.[column], now.values[row]?.[column]))
      );
    };
    const runs = (await inSlices(runsWhere(whole, isChanged), slices(untold, preparing))).map((run) => ({
      sheet: this.sheet,
      top: whole.top + run.row,
      left: whole.left + run.column,
      rows: Array.from({ length: run.count }, (_, i) => {
        const { content, value, format } = this.heldAt(run.row + i, run.column);
        const sentFormat = this.isDeadFormat(run.row + i, run.column) ? undefined : String(format);
        return [asSent(asContent(content, value), sentFormat)];
      }),
    }));
    await sendBlocks(this.context, runs);
  }
}

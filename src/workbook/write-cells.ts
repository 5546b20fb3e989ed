/**
 * The one place that writes cells. What is written says what it is: a text stays that text, whatever a host would read
 * in it; a formula is worked out, even in a cell that was formatted as text; a number is a number.
 */
import { greatest, least } from "../engine/lists";
import { tokenize } from "@borgar/fx";
import type { ReadBlock, Wanted, Written } from "./blocks";
import { blockFor, columnsIn, letGo, rangeOf, readBlocks, rowsIn, sendBlocks } from "./blocks";
import { beyondLimits } from "./formula-limits";
import type { Pause, Pieces, Progress } from "./progress";
import { inSlices, pass, slices, untold } from "./progress";
import type { Block } from "./reference";
import { cellAddress } from "./reference";
import { patiently } from "./session";
import { asSentence, WorkbookTrouble } from "./trouble";

export interface Formula {
  readonly formula: string;
}

/** What a cell is to hold: words are always text, a formula says that it is one. */
export type Content = string | number | boolean | Formula;

/** A formula, with or without its equals sign. */
export const asFormula = (text: string): Formula => ({ formula: text.startsWith("=") ? text : `=${text}` });

export const isFormula = (content: Content): content is Formula => typeof content === "object";

/** The most characters that a cell holds. */
export const mostText = 32_767;

/** A text as long as a cell holds, for lists that tell of something which stands elsewhere in full. */
export const shortened = (text: string): string =>
  text.length <= mostText ? text : `${text.slice(0, mostText - 2)} …`;

const truths =
  /^\s*(true|false|vrai|faux|wahr|falsch|verdadero|falso|vero|verdadeiro|waar|onwaar|sant|sann|falskt?|sand|tosi|epätosi|prawda|fałsz|igaz|hamis|истина|ложь)\s*$/i;
const begins = /^['=+\-@#]/;
const words = /\p{L}+/gu;

/** Dates, times, amounts and powers have figures and few words, in any language; a name of a zone may look so too. */
const wordsOfNumber = 3;

/**
 * Whether a host may read something else in a text. What it reads differs by its language, so all that could be meant
 * is held to be: one apostrophe too many is never seen.
 */
const couldBeRead = (text: string): boolean =>
  begins.test(text.trimStart()) ||
  truths.test(text) ||
  (/\p{Nd}/u.test(text) && (text.match(words) ?? []).length <= wordsOfNumber);

/** The number format of cells that hold text alone. */
export const textFormat = "@";

/**
 * How a content is sent. A text is kept by an apostrophe before it and not by the format of the cell: the apostrophe
 * is no part of the text, is stored as such in files, leaves the look of the cell as it was, and goes when the next
 * content comes, where a cell formatted as text makes every later formula in it dead. In a cell that is formatted as
 * text already, the text is sent as it is.
 */
export function asSent(content: Content, format?: string): string | number | boolean {
  if (typeof content === "object") return content.formula;
  if (typeof content !== "string") return content;
  return format !== textFormat && couldBeRead(content) ? `'${content}` : content;
}

export interface Cells {
  readonly sheet: Excel.Worksheet;
  readonly top: number;
  readonly left: number;
  readonly rows: readonly (readonly Content[])[];
  /** The number format that the cells were given, where that is known. */
  readonly format?: string;
}

const addressOf = ({ top, left }: Pick<Block, "top" | "left">, row: number, column: number): string =>
  cellAddress(top + row, left + column);

const whyTooLong = (content: Content): string | undefined => {
  if (typeof content === "object") return beyondLimits(content.formula);
  return typeof content === "string" && content.length > mostText
    ? `The text has ${content.length.toLocaleString("en-US")} characters where a cell holds ${mostText.toLocaleString("en-US")}: shorten it.`
    : undefined;
};

/** Cells that are gone through between two pauses. */
const cellsAtATime = 200;

/** Refuses, before anything is written, what no cell can hold. */
function* refusingTooLong(all: readonly Omit<Cells, "sheet">[]): Pieces<void> {
  let seen = 0;
  for (const cells of all) {
    for (const [i, row] of cells.rows.entries()) {
      for (const [j, content] of row.entries()) {
        const trouble = whyTooLong(content);
        if (trouble !== undefined) throw new WorkbookTrouble(`${addressOf(cells, i, j)}: ${trouble}`);
        if (++seen % cellsAtATime === 0) yield i / cells.rows.length;
      }
    }
  }
}

/** The cells as they are sent. */
function* sending(all: readonly Cells[]): Pieces<readonly Written[]> {
  const written: Written[] = [];
  let seen = 0;
  for (const { sheet, top, left, rows, format } of all) {
    const lines: Written["rows"][number][] = [];
    for (const [i, row] of rows.entries()) {
      lines.push(row.map((content) => asSent(content, format)));
      seen += row.length;
      if (seen < cellsAtATime) continue;
      seen = 0;
      yield i / rows.length;
    }
    written.push({ sheet, top, left, rows: lines });
  }
  return written;
}

/** What is told of the work before cells are written. */
const preparing = "Preparing what is written";

/** Writes into cells of a sheet that we made ourselves, where nothing of anybody's can be in the way. */
export async function writeCells(
  context: Excel.RequestContext,
  cells: readonly Cells[],
  progress: Progress = untold,
): Promise<void> {
  const pause = slices(progress, preparing);
  await inSlices(refusingTooLong(cells), pause);
  await sendBlocks(context, await inSlices(sending(cells), pause), progress);
}

/** A part of a formula without what a program may spell in its own way: capitals, blanks, quotes, corners, zeros. */
function partSpelled(type: string, value: string): string {
  if (type === "whitespace" || type === "newline") return "";
  if (type === "number") return String(Number(value));
  if (type === "string") return value;
  const plain = value.replace(/[\s'@]/g, "").toUpperCase();
  return type === "range" ? plain.split(":").sort().join(":") : plain;
}

const spelling = (text: string): string =>
  tokenize(text)
    .map(({ type, value }) => partSpelled(type, value))
    .join("");

const typedText = (content: unknown, value: unknown): boolean =>
  typeof value === "string" && content === value;

/** Whether a cell holds what was meant for it. */
function isMeant(meant: Content, now: unknown, value: unknown): boolean {
  if (typeof meant === "object") {
    if (typeof now !== "string" || typedText(now, value)) return false;
    return now === meant.formula || spelling(now) === spelling(meant.formula);
  }
  return value === meant;
}

/** A cell of somebody's sheet before anything was written to it. */
interface Before {
  readonly content: unknown;
  readonly value: unknown;
  readonly format: unknown;
}

/** Cells that are written to, with the columns of their table that a host may fill along with them. */
interface Watched {
  readonly sheet: Excel.Worksheet;
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

async function watchedCells(
  context: Excel.RequestContext,
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

async function metAmong(context: Excel.RequestContext, all: readonly Cells[]): Promise<readonly Met[]> {
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

interface Run<T> {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
  readonly cells: T[];
}

/** Cells one under another, joined: a column of a thousand is written as one. */
export function columnRuns<
  T extends { readonly sheet: string; readonly row: number; readonly column: number },
>(cells: readonly T[]): readonly Run<T>[] {
  const runs: Run<T>[] = [];
  const inOrder = [...cells].sort(
    (a, b) => a.sheet.localeCompare(b.sheet) || a.column - b.column || a.row - b.row,
  );
  for (const cell of inOrder) {
    const last = runs[runs.length - 1];
    const follows =
      last?.sheet === cell.sheet && last.column === cell.column && last.row + last.cells.length === cell.row;
    if (follows) last.cells.push(cell);
    else runs.push({ sheet: cell.sheet, row: cell.row, column: cell.column, cells: [cell] });
  }
  return runs;
}

/** The runs of members one after another in which a test holds. */
export function runsOf<T>(
  members: readonly T[],
  holds: (member: T, at: number) => boolean,
): readonly { readonly row: number; readonly count: number }[] {
  const runs: { readonly row: number; count: number }[] = [];
  members.forEach((member, row) => {
    if (!holds(member, row)) return;
    const last = runs[runs.length - 1];
    if (last !== undefined && last.row + last.count === row) last.count++;
    else runs.push({ row, count: 1 });
  });
  return runs;
}

interface RunWithin {
  readonly row: number;
  readonly column: number;
  count: number;
}

/** The runs in each column of a block, rows and columns counted within it. */
function* runsWhere(
  block: Block,
  holds: (row: number, column: number) => boolean,
): Pieces<readonly RunWithin[]> {
  const runs: RunWithin[] = [];
  const [rows, columns] = [rowsIn(block), columnsIn(block)];
  for (let column = 0; column < columns; column++) {
    for (let row = 0; row < rows; row++) {
      if (row % cellsAtATime === 0) yield column / columns;
      if (!holds(row, column)) continue;
      const last = runs[runs.length - 1];
      if (last?.column === column && last.row + last.count === row) last.count++;
      else runs.push({ row, column, count: 1 });
    }
  }
  return runs;
}

/** Addresses of cells that hold something else than was meant for them. */
interface Differences {
  readonly written: readonly string[];
  readonly beside: readonly string[];
}

/** One stretch while it is written: what it held, what it is to hold, and the way back. */
class Stretch {
  /** What is meant for the cells of the whole, row by row. */
  private readonly meant: (Content | undefined)[][] = [];

  constructor(
    private readonly context: Excel.RequestContext,
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

  get address(): string {
    return cellAddress(this.watched.whole.top, this.watched.whole.left);
  }

  get table(): string | undefined {
    return this.watched.table;
  }

  private get sheet(): Excel.Worksheet {
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

  /** The formats of cells whose formulas would be dead in them; and those of one stretch are set back. */
  private async setFormat(
    which: (row: number, column: number) => boolean,
    formatOf: (row: number, column: number) => unknown,
    pause: Pause,
  ): Promise<void> {
    const { whole } = this.watched;
    const runs = await inSlices(runsWhere(whole, which), pause);
    for (const [i, { row, column, count }] of runs.entries()) {
      this.sheet.getRangeByIndexes(whole.top + row, whole.left + column, count, 1).numberFormat = Array.from(
        { length: count },
        (_, down) => [formatOf(row + down, column)],
      );
      if ((i + 1) % rangesAtATime === 0) await this.context.sync();
    }
  }

  /** A cell formatted as text would make text of a formula or a number. */
  private isDeadFormat(row: number, column: number): boolean {
    const meant = this.meantAt(row, column);
    return meant !== undefined && typeof meant !== "string" && this.heldAt(row, column).format === textFormat;
  }

  /** Lets formulas live, and gives what is to be sent. */
  async prepare(pause: Pause): Promise<readonly Written[]> {
    await this.setFormat(
      (row, column) => this.isDeadFormat(row, column),
      () => "General",
      pause,
    );
    const written: Written[] = [];
    for (const cells of this.watched.all)
      written.push({ ...cells, rows: await inSlices(this.rowsToSend(cells), pause) });
    return written;
  }

  private *rowsToSend(cells: Cells): Pieces<Written["rows"]> {
    const { whole } = this.watched;
    const [down, across] = [cells.top - whole.top, cells.left - whole.left];
    const rows: Written["rows"][number][] = [];
    let seen = 0;
    for (const [i, row] of cells.rows.entries()) {
      rows.push(row.map((content, j) => asSent(content, String(this.heldAt(down + i, across + j).format))));
      seen += row.length;
      if (seen < cellsAtATime) continue;
      seen = 0;
      yield i / cells.rows.length;
    }
    return rows;
  }

  /** Where the host holds something else: among what was written, and beside it. */
  *differences(now: ReadBlock): Pieces<Differences> {
    const [written, beside]: [string[], string[]] = [[], []];
    let seen = 0;
    for (const [row, line] of now.formulas.entries()) {
      for (const [column, content] of line.entries()) {
        if (++seen % cellsAtATime === 0) yield row / now.formulas.length;
        const meant = this.meantAt(row, column);
        const held = this.heldAt(row, column);
        const isRight =
          meant === undefined ? content === held.content : isMeant(meant, content, now.values[row]?.[column]);
        if (!isRight) (meant === undefined ? beside : written).push(this.addressOf(row, column));
      }
    }
    return { written, beside };
  }

  private addressOf(row: number, column: number): string {
    const { whole } = this.watched;
    return cellAddress(whole.top + row, whole.left + column);
  }

  /** What a cell held, as it has to be sent to be held again; its format comes back after it. */
  private asHeld(row: number, column: number): unknown {
    const { content, value, format } = this.heldAt(row, column);
    if (typeof content !== "string" || !typedText(content, value)) return content;
    return asSent(content, this.isDeadFormat(row, column) ? undefined : String(format));
  }

  /** Every cell that is not as it was, each run of them in one go, so that no column is filled anew. */
  async changed(now: ReadBlock | undefined, pause: Pause): Promise<readonly Written[]> {
    const { whole } = this.watched;
    const changed = (row: number, column: number) =>
      now?.formulas[row]?.[column] !== this.heldAt(row, column).content ||
      (this.meantAt(row, column) !== undefined &&
        now?.values[row]?.[column] !== this.heldAt(row, column).value);
    return (await inSlices(runsWhere(whole, changed), pause)).map(({ row, column, count }) => ({
      sheet: this.sheet,
      top: whole.top + row,
      left: whole.left + column,
      rows: Array.from({ length: count }, (_, i) => [this.asHeld(row + i, column)]),
    }));
  }

  async setFormatsBack(pause: Pause): Promise<void> {
    await this.setFormat(
      (row, column) => this.isDeadFormat(row, column),
      (row, column) => this.heldAt(row, column).format,
      pause,
    );
  }
}

const some = (addresses: readonly string[]): string =>
  addresses.length === 1
    ? (addresses[0] ?? "")
    : `${addresses[0] ?? ""} and ${addresses.length - 1} more cells`;

function troubleWith(
  table: string | undefined,
  written: readonly string[],
  beside: readonly string[],
): string {
  if (table !== undefined || beside.length > 0) {
    const which = table === undefined ? "The sheet" : `The table ${table}`;
    return `${which} filled ${some([...beside, ...written])} by itself, so all of it was taken back: choose cells outside of it.`;
  }
  return `The workbook made something else of what was written to ${some(written)}, so all of it was taken back: set the format of the cells to General, then try again.`;
}

async function takeBack(context: Excel.RequestContext, stretches: readonly Stretch[]): Promise<void> {
  const now = await readBlocks(
    context,
    stretches.map(({ wanted }) => wanted),
  );
  const pause = slices(untold, preparing);
  const changed: Written[] = [];
  for (const [i, stretch] of stretches.entries()) changed.push(...(await stretch.changed(now[i], pause)));
  await sendBlocks(context, changed);
  for (const stretch of stretches) await stretch.setFormatsBack(pause);
  await context.sync();
}

async function takenBack(
  context: Excel.RequestContext,
  stretches: readonly Stretch[],
  why: unknown,
): Promise<void> {
  try {
    await patiently(() => takeBack(context, stretches));
  } catch (error) {
    const [first] = stretches;
    throw new WorkbookTrouble(
      `${asSentence(why)} What was written from ${first?.address ?? "there"} on could not be taken back: undo it in the workbook.`,
      { cause: error },
    );
  }
}

/**
 * Writes into cells of somebody's sheet, then looks at what the host made of it. Where it holds anything else, be it in
 * another cell of a table's column, or where it refuses a part, all is taken back.
 */
export async function writeAndLook(
  context: Excel.RequestContext,
  all: readonly Cells[],
  progress: Progress = untold,
): Promise<void> {
  const pause = slices(progress, preparing);
  await inSlices(refusingTooLong(all), pause);
  const watched = await watchedCells(context, all, progress);
  const wanted = watched.map(({ sheet, whole }) => ({ sheet, block: whole }));
  const before = await readBlocks(context, wanted, { formats: true, progress });
  const stretches = watched.map(
    (one, i) => new Stretch(context, one, before[i] ?? { formulas: [], values: [], formats: [] }),
  );
  try {
    const prepared: Written[] = [];
    for (const stretch of stretches) prepared.push(...(await stretch.prepare(pause)));
    await sendBlocks(context, prepared, progress);
    const now = await readBlocks(context, wanted, { progress });
    for (const [i, stretch] of stretches.entries()) {
      const made = now[i] ?? { formulas: [], values: [], formats: [] };
      const { written, beside } = await inSlices(stretch.differences(made), pause);
      if (written.length + beside.length > 0)
        throw new WorkbookTrouble(troubleWith(stretch.table, written, beside));
    }
  } catch (error) {
    await takenBack(context, stretches, error);
    throw error;
  }
}

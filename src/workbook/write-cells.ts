/**
 * The one place that writes cells. What is written says what it is: a text stays that text, whatever a host would read
 * in it; a formula is worked out, even in a cell that was formatted as text; a number is a number.
 */
import { tokenize } from "@borgar/fx";
import type { ReadBlock, Wanted, Written } from "./blocks";
import { blockFor, rangeOf, readBlocks, sendBlocks } from "./blocks";
import { beyondLimits } from "./formula-limits";
import type { Progress } from "./progress";
import { giveWay, untold } from "./progress";
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

/** Refuses, before anything is written, what no cell can hold. */
export function refuseTooLong(cells: Omit<Cells, "sheet">): void {
  cells.rows.forEach((row, i) =>
    row.forEach((content, j) => {
      const trouble =
        typeof content === "object"
          ? beyondLimits(content.formula)
          : typeof content === "string" && content.length > mostText
            ? `The text has ${content.length.toLocaleString("en-US")} characters where a cell holds ${mostText.toLocaleString("en-US")}: shorten it.`
            : undefined;
      if (trouble !== undefined) throw new WorkbookTrouble(`${addressOf(cells, i, j)}: ${trouble}`);
    }),
  );
}

const sent = ({ sheet, top, left, rows, format }: Cells): Written => ({
  sheet,
  top,
  left,
  rows: rows.map((row) => row.map((content) => asSent(content, format))),
});

/** Writes into cells of a sheet that we made ourselves, where nothing of anybody's can be in the way. */
export async function writeCells(
  context: Excel.RequestContext,
  cells: readonly Cells[],
  progress: Progress = untold,
): Promise<void> {
  cells.forEach(refuseTooLong);
  await sendBlocks(context, cells.map(sent), progress);
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

/** A stretch of cells that are written to, with the columns of tables that a host may fill along with them. */
interface Watched {
  readonly cells: Cells;
  readonly whole: Block;
  readonly table: string | undefined;
}

async function watchedCells(
  context: Excel.RequestContext,
  all: readonly Cells[],
): Promise<readonly Watched[]> {
  const met = all.map((cells) => {
    const block = blockFor(cells);
    const tables = rangeOf({ sheet: cells.sheet, block }).getTables(false);
    tables.load("items/name");
    return { cells, block, tables };
  });
  await context.sync();
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
    whole: {
      ...block,
      top: Math.min(block.top, ...ranges.map(({ rowIndex }) => rowIndex)),
      bottom: Math.max(block.bottom, ...ranges.map(({ rowIndex, rowCount }) => rowIndex + rowCount - 1)),
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

/** The runs in each column of a block, rows and columns counted within it. */
const runsWhere = (
  { top, left, bottom, right }: Block,
  holds: (row: number, column: number) => boolean,
): readonly { readonly row: number; readonly column: number; readonly count: number }[] => {
  const rows = Array.from({ length: bottom - top + 1 }, (_, row) => row);
  return Array.from({ length: right - left + 1 }, (_, column) =>
    runsOf(rows, (row) => holds(row, column)).map((run) => ({ ...run, column })),
  ).flat();
};

/** One stretch while it is written: what it held, what it is to hold, and the way back. */
class Stretch {
  constructor(
    private readonly context: Excel.RequestContext,
    private readonly watched: Watched,
    private readonly before: ReadBlock,
  ) {}

  get address(): string {
    return cellAddress(this.watched.cells.top, this.watched.cells.left);
  }

  get table(): string | undefined {
    return this.watched.table;
  }

  private get sheet(): Excel.Worksheet {
    return this.watched.cells.sheet;
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
    const { cells, whole } = this.watched;
    return cells.rows[whole.top + row - cells.top]?.[whole.left + column - cells.left];
  }

  /** The formats of cells whose formulas would be dead in them; and those of one stretch are set back. */
  private setFormat(
    which: (row: number, column: number) => boolean,
    formatOf: (row: number, column: number) => unknown,
  ): void {
    const { whole } = this.watched;
    for (const { row, column, count } of runsWhere(whole, which)) {
      this.sheet.getRangeByIndexes(whole.top + row, whole.left + column, count, 1).numberFormat = Array.from(
        { length: count },
        (_, i) => [formatOf(row + i, column)],
      );
    }
  }

  /** A cell formatted as text would make text of a formula or a number. */
  private isDeadFormat(row: number, column: number): boolean {
    const meant = this.meantAt(row, column);
    return meant !== undefined && typeof meant !== "string" && this.heldAt(row, column).format === textFormat;
  }

  /** Lets formulas live, and gives what is to be sent. */
  prepare(): Written {
    const { cells, whole } = this.watched;
    this.setFormat(
      (row, column) => this.isDeadFormat(row, column),
      () => "General",
    );
    const [down, across] = [cells.top - whole.top, cells.left - whole.left];
    return {
      ...cells,
      rows: cells.rows.map((row, i) =>
        row.map((content, j) => asSent(content, String(this.heldAt(down + i, across + j).format))),
      ),
    };
  }

  /** Where the host holds something else: among what was written, and beside it. */
  differences(now: ReadBlock): { readonly written: readonly string[]; readonly beside: readonly string[] } {
    const [written, beside]: [string[], string[]] = [[], []];
    now.formulas.forEach((line, row) =>
      line.forEach((content, column) => {
        const meant = this.meantAt(row, column);
        const held = this.heldAt(row, column);
        const isRight =
          meant === undefined ? content === held.content : isMeant(meant, content, now.values[row]?.[column]);
        if (!isRight) (meant === undefined ? beside : written).push(this.addressOf(row, column));
      }),
    );
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

  /** Sends back every cell that is not as it was, each run of them in one go, so that no column is filled anew. */
  async takeBack(): Promise<void> {
    const [now] = await readBlocks(this.context, [this.wanted]);
    const { whole } = this.watched;
    const changed = (row: number, column: number) =>
      now?.formulas[row]?.[column] !== this.heldAt(row, column).content ||
      (this.meantAt(row, column) !== undefined &&
        now?.values[row]?.[column] !== this.heldAt(row, column).value);
    const runs = runsWhere(whole, changed).map(({ row, column, count }) => ({
      sheet: this.sheet,
      top: whole.top + row,
      left: whole.left + column,
      rows: Array.from({ length: count }, (_, i) => [this.asHeld(row + i, column)]),
    }));
    await sendBlocks(this.context, runs);
    this.setFormat(
      (row, column) => this.isDeadFormat(row, column),
      (row, column) => this.heldAt(row, column).format,
    );
    await this.context.sync();
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

async function takenBack(stretches: readonly Stretch[], why: unknown): Promise<void> {
  try {
    for (const stretch of [...stretches].reverse()) await patiently(() => stretch.takeBack());
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
  all.forEach(refuseTooLong);
  const watched = await watchedCells(context, all);
  const wanted = watched.map(({ cells, whole }) => ({ sheet: cells.sheet, block: whole }));
  const before = await readBlocks(context, wanted, { formats: true });
  const stretches = watched.map(
    (one, i) => new Stretch(context, one, before[i] ?? { formulas: [], values: [], formats: [] }),
  );
  try {
    await sendBlocks(
      context,
      stretches.map((stretch) => stretch.prepare()),
      progress,
    );
    const now = await readBlocks(context, wanted);
    await giveWay();
    stretches.forEach((stretch, i) => {
      const { written, beside } = stretch.differences(now[i] ?? { formulas: [], values: [], formats: [] });
      if (written.length + beside.length > 0)
        throw new WorkbookTrouble(troubleWith(stretch.table, written, beside));
    });
  } catch (error) {
    await takenBack(stretches, error);
    throw error;
  }
}

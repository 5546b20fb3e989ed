/**
 * The one place that writes cells. What is written says what it is: a text stays that text, whatever a host would read
 * in it; a formula is worked out, even in a cell that was formatted as text; a number is a number.
 */
import { tokenize } from "@borgar/fx";
import type { ReadBlock, Wanted, Written } from "./blocks";
import { blockFor, rangeOf, readBlocks, sendBlocks } from "./blocks";
import { beyondLimits } from "./formula-limits";
import type { Progress } from "./progress";
import { giveWay, pass, untold } from "./progress";
import type { Block } from "./reference";
import { cellAddress } from "./reference";
import { codeOf, WorkbookTrouble } from "./trouble";
import type { CellStep, Mark } from "./work/mark";

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
  /** What each of the cells held when this was planned, where that was looked at. */
  readonly held?: unknown;
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

/** Whether two formulas are one, however programs spell it. */
export const isSpeltAlike = (one: string, other: string): boolean =>
  one === other || spelling(one) === spelling(other);

const typedText = (content: unknown, value: unknown): boolean =>
  typeof value === "string" && content === value;

/** What a cell holds, as it is to be written so that it is held again. */
export function asContent(content: unknown, value: unknown): Content {
  if (typeof content === "string" && content.startsWith("=") && !typedText(content, value))
    return { formula: content };
  return typeof content === "number" || typeof content === "boolean" ? content : textOf(content);
}

const textOf = (content: unknown): string => (typeof content === "string" ? content : "");

/** Whether a cell holds that and nothing else. */
function holds(content: Content, now: unknown, value: unknown): boolean {
  if (typeof content === "object") return isMeant(content, now, value);
  return typeof asContent(now, value) !== "object" && (now === content || value === content);
}

/** Whether a cell holds what was meant for it. */
function isMeant(meant: Content, now: unknown, value: unknown): boolean {
  if (typeof meant === "object") {
    if (typeof now !== "string" || typedText(now, value)) return false;
    return isSpeltAlike(now, meant.formula);
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

/** A cell that is written to only while it holds what its new content was planned from. */
export interface CellChange {
  /** The id of its sheet, which no new name changes. */
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
  readonly before: Content;
  readonly after: Content;
  /** What a cell that holds nothing of its own shows, where another cell's formula fills it. */
  readonly shows?: unknown;
  /** Cells that belong together are written all or none; the first of them comes first. */
  readonly group?: string;
}

/**
 * How much goes into one request: the host is asked often enough to show progress, and not for every cell. It refuses
 * requests above 5 MB, and a letter may take four bytes.
 */
const perRequest = { cells: 500, letters: 500_000 } as const;
/** Where little is written that takes long to work out. */
const manyCells = 5000;

const lettersIn = (content: Content): number =>
  typeof content === "object" ? content.formula.length : String(content).length;

/** Where the request that begins here ends. */
function endOfRequest(
  changes: readonly CellChange[],
  from: number,
  cells: number = perRequest.cells,
): number {
  let letters = 0;
  let end = from;
  while (end < changes.length && end - from < cells) {
    const change = changes[end];
    if (change !== undefined) letters += Math.max(lettersIn(change.before), lettersIn(change.after));
    if (letters > perRequest.letters && end > from) break;
    end++;
  }
  return end;
}

interface Seen {
  readonly change: CellChange;
  readonly content: unknown;
  readonly value: unknown;
  readonly format: unknown;
}

/** A cell that holds nothing of its own may show what another's formula fills it with. */
const holdsOrShows = (wanted: Content, { change: { shows }, content, value }: Seen): boolean =>
  holds(wanted, content, value) ||
  (wanted === "" && shows !== undefined && value === shows && content === value);

const isBefore = (one: Seen): boolean => holdsOrShows(one.change.before, one);
const isAfter = (one: Seen): boolean => holdsOrShows(one.change.after, one);

interface Asked {
  readonly run: Run<CellChange>;
  readonly range: Excel.Range;
}

/** Writes changes request by request, and keeps what of them was left. */
class Careful {
  readonly left: CellChange[] = [];
  private readonly refused = new Set<string>();
  /** The first cell of each group, which tells where the others are. */
  private readonly firsts = new Map<string, CellChange>();
  /** Formulas that something stands in the way of: what is in the cells that they would fill was typed. */
  private readonly blocked = new Set<string>();
  private readonly done: CellChange[] = [];

  constructor(private readonly context: Excel.RequestContext) {}

  private leave(change: CellChange): void {
    this.left.push(change);
    if (change.group !== undefined) this.refused.add(change.group);
  }

  private ask(changes: readonly CellChange[]): readonly Asked[] {
    return columnRuns(changes).map((run) => {
      const range = this.rangeOf(run);
      range.load("formulas,values,numberFormat");
      return { run, range };
    });
  }

  private rangeOf({ sheet, row, column, cells }: Run<CellChange>): Excel.Range {
    return this.context.workbook.worksheets.getItem(sheet).getRangeByIndexes(row, column, cells.length, 1);
  }

  private seen(asked: readonly Asked[]): readonly Seen[] {
    return asked.flatMap(({ run, range }) => {
      const told = answered(range);
      return told === undefined
        ? []
        : run.cells.map((change, i) => ({
            change,
            content: told.formulas[i]?.[0],
            value: told.values[i]?.[0],
            format: told.numberFormat[i]?.[0],
          }));
    });
  }

  private look(seen: readonly Seen[]): void {
    for (const { change, value } of seen)
      if (change.group !== undefined && value === "#SPILL!") this.blocked.add(change.group);
  }

  /** Whether a cell holds what it was planned from, or is filled by a formula that fills cells freely. */
  private isBefore(one: Seen): boolean {
    const { change, content, value } = one;
    if (isBefore(one)) return true;
    const isPart = change.before === "" && change.shows !== undefined && change.group !== undefined;
    const isTold = isPart && !this.blocked.has(change.group ?? "");
    return isTold && content === value && !(typeof content === "string" && content.startsWith("="));
  }

  /** What still holds what it was planned from. */
  private async standing(changes: readonly CellChange[]): Promise<readonly Seen[]> {
    const asked = this.ask(changes);
    await this.context.sync();
    const standing: Seen[] = [];
    const seen = this.seen(asked);
    this.look(seen);
    for (const one of seen) {
      const { change } = one;
      if (change.group !== undefined && !this.firsts.has(change.group)) this.firsts.set(change.group, change);
      if (isAfter(one) && !this.isBefore(one)) this.done.push(change);
      else if (this.isBefore(one) && !this.refused.has(change.group ?? "")) standing.push(one);
      else this.leave(change);
    }
    return standing.filter(({ change }) => {
      const isRefused = this.refused.has(change.group ?? "");
      if (isRefused) this.left.push(change);
      return !isRefused;
    });
  }

  private async write(standing: readonly Seen[]): Promise<void> {
    const formats = new Map(standing.map(({ change, format }) => [change, String(format)]));
    const asked = columnRuns(standing.map(({ change }) => change)).map((run) => {
      // What stands there is told by the same request, just before it is written over.
      const [one] = this.ask(run.cells);
      this.rangeOf(run).formulas = run.cells.map((change) => [asSent(change.after, formats.get(change))]);
      return one ?? { run, range: this.rangeOf(run) };
    });
    try {
      await this.context.sync();
    } finally {
      await this.giveBack(this.seen(asked), formats);
    }
    const given = new Set(this.left);
    this.done.push(...standing.flatMap(({ change }) => (given.has(change) ? [] : [change])));
  }

  /** What somebody typed in the very moment that it was written over is given back. */
  private async giveBack(seen: readonly Seen[], formats: ReadonlyMap<CellChange, string>): Promise<void> {
    this.look(seen);
    const changed = seen.filter((one) => !this.isBefore(one));
    // What was to come stood there already: what was planned from has moved away.
    for (const { change } of changed.filter(isAfter)) this.leave(change);
    const overwritten = changed.filter((one) => !isAfter(one));
    if (overwritten.length === 0) return;
    for (const { change, content, value } of overwritten) {
      this.leave(change);
      this.rangeOf({ ...change, cells: [change] }).formulas = [
        [asSent(asContent(content, value), formats.get(change))],
      ];
    }
    await this.context.sync();
  }

  /** Without the sheets that are gone by now. */
  private async present(changes: readonly CellChange[]): Promise<readonly CellChange[]> {
    const { worksheets } = this.context.workbook;
    worksheets.load("items/id");
    await this.context.sync();
    const there = new Set(worksheets.items.map(({ id }) => id));
    for (const change of changes) if (!there.has(change.sheet)) this.leave(change);
    return changes.filter(({ sheet }) => there.has(sheet));
  }

  async request(changes: readonly CellChange[]): Promise<void> {
    try {
      await this.write(await this.standing(changes));
    } catch (error) {
      if (codeOf(error) !== gone) throw error;
      const settled = new Set([...this.left, ...this.done]);
      const rest = changes.filter((change) => !settled.has(change));
      const still = await this.present(rest);
      // Where every sheet is there, something else is missing.
      if (still.length === rest.length) throw error;
      await this.request(still);
    }
  }

  /** A group of which a part was left is put back as a whole, if its first cell still is where it was. */
  async settleGroups(): Promise<void> {
    const done = new Set(this.done);
    const torn = this.done.filter(({ group }) => group !== undefined && this.refused.has(group));
    if (torn.length === 0) return;
    // Cells whose first was never written have nothing that tells where they are by now.
    const back = torn
      .filter(({ group = "" }) => done.has(this.firsts.get(group) as CellChange))
      .map(({ before, after, ...place }) => ({ ...place, before: after, after: before }));
    this.left.push(...torn);
    this.done.length = 0;
    this.refused.clear();
    for (let from = 0; from < back.length; from = endOfRequest(back, from))
      await this.write(await this.standing(back.slice(from, endOfRequest(back, from))));
  }
}

/** The host's word for what is not there. */
const gone = "ItemNotFound";

interface Told {
  readonly formulas: readonly (readonly unknown[])[];
  readonly values: readonly (readonly unknown[])[];
  readonly numberFormat: readonly (readonly unknown[])[];
}

/** What a range was told to hold, as far as the host came to say it. */
function answered(range: Excel.Range): Told | undefined {
  try {
    return { formulas: range.formulas, values: range.values, numberFormat: range.numberFormat };
  } catch {
    return undefined;
  }
}

const downSheets = (a: CellChange, b: CellChange): number =>
  (a.sheet === b.sheet ? 0 : a.sheet < b.sheet ? -1 : 1) || a.column - b.column || a.row - b.row;

/**
 * Writes cell by cell where what stands is what was planned from, and answers with the changes that were left, since
 * somebody has written there meanwhile.
 */
export async function writeWhereStands(
  context: Excel.RequestContext,
  unsorted: readonly CellChange[],
  progress: Progress = untold,
  what = "Writing",
  cellsAtOnce: number = perRequest.cells,
): Promise<readonly CellChange[]> {
  const changes = [...unsorted].sort(downSheets);
  const careful = new Careful(context);
  for (let from = 0; from < changes.length;) {
    pass(progress, from, changes.length, what);
    const end = endOfRequest(changes, from, cellsAtOnce);
    await careful.request(changes.slice(from, end));
    from = end;
  }
  await careful.settleGroups();
  return careful.left;
}

/** Lets formulas live that stand in cells formatted as text: a cell may become one afterwards. */
export async function enliven(
  context: Excel.RequestContext,
  cells: readonly Pick<CellChange, "sheet" | "row" | "column" | "after">[],
): Promise<void> {
  for (const { sheet, row, column, after } of cells) {
    const cell = context.workbook.worksheets.getItem(sheet).getRangeByIndexes(row, column, 1, 1);
    cell.numberFormat = [["General"]];
    cell.formulas = [[asSent(after)]];
    cell.numberFormat = [[textFormat]];
  }
  await context.sync();
}

/** One stretch while it is written: what it held, what it is to hold, and the way back. */
class Stretch {
  constructor(
    private readonly context: Excel.RequestContext,
    private readonly watched: Watched,
    private readonly before: ReadBlock,
  ) {}

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

  /** A cell formatted as text would make text of a formula or a number. */
  private isDeadFormat(row: number, column: number): boolean {
    const meant = this.meantAt(row, column);
    return meant !== undefined && typeof meant !== "string" && this.heldAt(row, column).format === textFormat;
  }

  /** The cells as they are and as they are to be, for the mark. */
  get step(): readonly CellStep[] {
    return this.each((to, { content, value }, row, column, isDead) => ({
      ...{ row, column, was: asContent(content, value), to },
      ...(isDead ? { format: textFormat } : {}),
    }));
  }

  /** Every cell that is written to. */
  private each<T>(
    told: (meant: Content, held: Before, row: number, column: number, isDead: boolean) => T,
  ): readonly T[] {
    const { cells, whole } = this.watched;
    const [down, across] = [cells.top - whole.top, cells.left - whole.left];
    return cells.rows.flatMap((line, i) =>
      line.map((meant, j) =>
        told(
          meant,
          this.heldAt(down + i, across + j),
          cells.top + i,
          cells.left + j,
          this.isDeadFormat(down + i, across + j),
        ),
      ),
    );
  }

  /** Refuses where a cell does not hold what it held when this was planned. */
  refuseChanged(): void {
    const { held } = this.watched.cells;
    if (held === undefined) return;
    const changed = this.each((_, { content, value }, row, column) =>
      content === held || value === held ? [] : [{ row, column }],
    ).flat();
    if (changed.length > 0) throw new WorkbookTrouble(meanwhile(changed));
  }

  /** Lets formulas live in cells that were formatted as text. */
  enliven(): void {
    const { whole } = this.watched;
    for (const { row, column, count } of runsWhere(whole, (at, across) => this.isDeadFormat(at, across)))
      this.sheet.getRangeByIndexes(whole.top + row, whole.left + column, count, 1).numberFormat = Array.from(
        { length: count },
        () => ["General"],
      );
  }

  changes(sheet: string): readonly CellChange[] {
    return this.each((after, { content, value }, row, column) => ({
      ...{ sheet, row, column, after },
      before: asContent(content, value),
    }));
  }

  /** Where the host holds something else: among what was written, and beside it. */
  differences(now: ReadBlock): { readonly written: readonly string[]; readonly beside: readonly string[] } {
    const [written, beside]: [string[], string[]] = [[], []];
    now.formulas.forEach((line, row) =>
      line.forEach((content, column) => {
        const meant = this.meantAt(row, column);
        if (meant !== undefined && !isMeant(meant, content, now.values[row]?.[column]))
          written.push(this.addressOf(row, column));
        if (meant === undefined && this.isFilled(now, row, column)) beside.push(this.addressOf(row, column));
      }),
    );
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
    const runs = runsWhere(whole, isChanged).map(({ row, column, count }) => ({
      sheet: this.sheet,
      top: whole.top + row,
      left: whole.left + column,
      rows: Array.from({ length: count }, (_, i) => {
        const { content, value, format } = this.heldAt(row + i, column);
        const sentFormat = this.isDeadFormat(row + i, column) ? undefined : String(format);
        return [asSent(asContent(content, value), sentFormat)];
      }),
    }));
    await sendBlocks(this.context, runs);
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

/** Cells that one part of a mark tells of: a setting is no place for megabytes. */
const perStep = 2000;

/** Says in the mark what the cells hold and are to hold. */
export async function markCells(mark: Mark, sheet: string, cells: readonly CellStep[]): Promise<void> {
  for (let from = 0; from < cells.length; from += perStep)
    await mark.step({ kind: "cells", sheet, cells: cells.slice(from, from + perStep) });
}

/**
 * Writes into cells of somebody's sheet, then looks at what the host made of it. Where it holds anything else, be it in
 * another cell of a table's column, or where it refuses a part, the work takes all of it back.
 */
export async function writeAndLook(
  context: Excel.RequestContext,
  mark: Mark,
  all: readonly Cells[],
  guards: readonly Guard[] = [],
  progress: Progress = untold,
): Promise<void> {
  all.forEach(refuseTooLong);
  for (const { sheet } of all) sheet.load("id");
  const watched = await watchedCells(context, all);
  const wanted = watched.map(({ cells, whole }) => ({ sheet: cells.sheet, block: whole }));
  const before = await readBlocks(context, wanted, { formats: true });
  const stretches = watched.map(
    (one, i) => new Stretch(context, one, before[i] ?? { formulas: [], values: [], formats: [] }),
  );
  const ids = watched.map(({ cells }) => cells.sheet.id);
  for (const [i, stretch] of stretches.entries()) await markCells(mark, ids[i] ?? "", stretch.step);
  await mark.isWhole();
  stretches.forEach((stretch) => stretch.refuseChanged());
  await refuseMoved(context, guards);
  try {
    for (const stretch of stretches) stretch.enliven();
    const left = await writeWhereStands(
      context,
      stretches.flatMap((stretch, i) => stretch.changes(ids[i] ?? "")),
      progress,
      "Writing",
      manyCells,
    );
    if (left.length > 0) throw new WorkbookTrouble(meanwhile(left));
    const now = await readBlocks(context, wanted);
    await refuseMoved(context, guards);
    await giveWay();
    stretches.forEach((stretch, i) => {
      const { written, beside } = stretch.differences(now[i] ?? { formulas: [], values: [], formats: [] });
      if (written.length + beside.length > 0)
        throw new WorkbookTrouble(troubleWith(stretch.table, written, beside));
    });
  } catch (error) {
    for (const stretch of [...stretches].reverse()) await stretch.takeBackBeside().catch(() => undefined);
    throw error;
  }
}

/** Cells that tell whether the sheet still is what the new cells were planned for. */
export interface Guard extends Wanted {
  /** What they held then. */
  readonly formulas: readonly (readonly unknown[])[];
}

/** Refuses where somebody has written to such cells meanwhile, or moved them. */
async function refuseMoved(context: Excel.RequestContext, guards: readonly Guard[]): Promise<void> {
  if (guards.length === 0) return;
  const now = await readBlocks(context, guards);
  const isSame = guards.every(({ formulas }, i) =>
    formulas.every((row, down) =>
      row.every((one, across) => String(one) === String(now[i]?.formulas[down]?.[across])),
    ),
  );
  if (!isSame)
    throw new WorkbookTrouble(
      "Somebody changed the sheet meanwhile, so nothing was written: look at it, then try again.",
    );
}

const meanwhile = (left: readonly Pick<CellChange, "row" | "column">[]): string =>
  `Somebody wrote to ${some(left.map(({ row, column }) => cellAddress(row, column)))} meanwhile, so it was left as it is and nothing else was written: look at it, then try again.`;

/** Cells in portions that a host passes on: it refuses a request or an answer above 5 MB, and so do we above less. */
import { addAll } from "../../engine/lists";
import { readsLikeError } from "./cell-values";
import type { Progress } from "./progress";
import { pass, untold } from "./progress";
import type { Block } from "./reference";

export interface Wanted {
  readonly sheet: Excel.Worksheet;
  readonly block: Block;
}

/** What the cells of a block hold; the formats only where they were asked for. */
export interface ReadBlock {
  readonly formulas: readonly (readonly unknown[])[];
  readonly values: readonly (readonly unknown[])[];
  readonly formats: readonly (readonly unknown[])[];
  /** What kinds of values they are; rows without them hold nothing that reads like an error. */
  readonly types: readonly (readonly unknown[])[];
}

interface Portion extends Wanted {
  /** Which of the wanted blocks it belongs to. */
  readonly of: number;
}

/** What a portion may hold: so many cells of usual size, and so many characters where they are known to be longer. */
const mostCells = 20_000;
const firstCells = 4000;
const mostCharacters = 1_000_000;
/** Each range of a request is told with what is asked of it, which takes far more characters than a short cell. */
const mostRanges = 1000;
const charactersOfRange = 2000;

/** What is told of the work while cells are read. */
export const readingWhat = "Reading the workbook";

export const rowsIn = ({ top, bottom }: Block): number => bottom - top + 1;
export const columnsIn = ({ left, right }: Block): number => right - left + 1;
export const cellsIn = (block: Block): number => rowsIn(block) * columnsIn(block);

export const rangeOf = ({ sheet, block }: Wanted): Excel.Range =>
  sheet.getRangeByIndexes(block.top, block.left, rowsIn(block), columnsIn(block));

/** The first part of a block, of so many cells or a single row or cell, and the rest of it. */
function parted(block: Block, cells: number): readonly [first: Block, rest: Block | undefined] {
  const rows = Math.floor(cells / columnsIn(block));
  if (rows >= rowsIn(block)) return [block, undefined];
  if (rows > 0) {
    const bottom = block.top + rows - 1;
    return [
      { ...block, bottom },
      { ...block, top: bottom + 1 },
    ];
  }
  if (rowsIn(block) > 1)
    return [
      { ...block, bottom: block.top },
      { ...block, top: block.top + 1 },
    ];
  const right = block.left + Math.max(1, Math.min(cells, columnsIn(block))) - 1;
  return right >= block.right
    ? [block, undefined]
    : [
        { ...block, right },
        { ...block, left: right + 1 },
      ];
}

const tooLarge = (error: unknown): boolean =>
  typeof error === "object" &&
  error !== null &&
  "code" in error &&
  (error.code === "ResponsePayloadSizeLimitExceeded" || error.code === "RequestPayloadSizeLimitExceeded");

/** Characters of a cell as it is sent, with what stands round it. */
const lengthOf = (content: unknown): number => (typeof content === "string" ? content.length + 3 : 8);

const charactersIn = (rows: readonly (readonly unknown[])[]): number =>
  rows.reduce((sum, row) => row.reduce<number>((all, content) => all + lengthOf(content), sum), 0);

/** How many cells to ask for next: few at first, then as many as their length allows. */
class Portions {
  private cells = firstCells;
  private longest = 1;

  get size(): number {
    return this.cells;
  }

  /** Learns from an answer. */
  learn(cells: number, characters: number): void {
    this.longest = Math.max(this.longest, characters / Math.max(1, cells));
    this.cells = Math.max(1, Math.min(mostCells, 4 * this.cells, Math.floor(mostCharacters / this.longest)));
  }

  /** The host found an answer too large. */
  shrink(): void {
    this.cells = Math.max(1, Math.floor(this.cells / 4));
  }
}

/** Ranges that are held to the end are all told of in one last request. Another request has to follow, which tells of these. */
export function letGo(ranges: readonly Excel.Range[]): void {
  for (const range of ranges) range.untrack();
}

/** A range, or several as one, that one request alone uses: the host is not asked to keep it at all. */
export function forNow<R extends Excel.Range | Excel.RangeAreas>(range: R): R {
  range.untrack();
  return range;
}

/** So many things that each take up to some thousand letters go into one request. */
const mostAtOnce = 500;

/** Tells of many things, or asks for them, with a request for every portion of them that a host passes on. */
export async function inPortions<T, A>(
  context: Excel.RequestContext,
  all: readonly T[],
  act: (one: T) => A,
): Promise<readonly A[]> {
  const answers: A[] = [];
  for (let from = 0; from < all.length; from += mostAtOnce) {
    for (const one of all.slice(from, from + mostAtOnce)) answers.push(act(one));
    await context.sync();
  }
  return answers;
}

/**
 * Only the host tells an error from a text that reads like one. Ranges that hold such a value are read again, with the
 * kinds of their values in the same answer: by then the value may be another one. Answers with these ranges.
 */
export async function typesToo(
  context: Excel.RequestContext,
  ranges: readonly Excel.Range[],
  properties: string,
): Promise<ReadonlySet<Excel.Range>> {
  const doubtful = ranges.filter(
    (range) => !range.isNullObject && (range.values as unknown[][]).some((row) => row.some(readsLikeError)),
  );
  for (const range of doubtful) range.load(`${properties},valueTypes`);
  if (doubtful.length > 0) await context.sync();
  return new Set(doubtful);
}

/** Whether a value is a text that reads like an error, by what the host says it is. */
export const isTextLikeError = (value: unknown, type: unknown): boolean =>
  type === Excel.RangeValueType.string && readsLikeError(value);

/** The values of blocks, those texts left out that read like errors. */
export function* valuesOf(blocks: readonly Pick<ReadBlock, "values" | "types">[]): Generator<unknown> {
  for (const { values, types } of blocks)
    for (const [i, row] of values.entries())
      for (const [j, value] of row.entries()) if (!isTextLikeError(value, types[i]?.[j])) yield value;
}

/** Takes portions from the end of a pile until they hold so many cells. */
function takePortions(pile: Portion[], cells: number): readonly Portion[] {
  const taken: Portion[] = [];
  let room = cells;
  while (room > 0 && taken.length < mostRanges) {
    const next = pile.pop();
    if (next === undefined) break;
    const [first, rest] = parted(next.block, room);
    taken.push({ ...next, block: first });
    if (rest !== undefined) pile.push({ ...next, block: rest });
    room -= cellsIn(first);
  }
  return taken;
}

/** Reads blocks with formulas and values in as few answers as a host passes on, and can be stopped between two of them. */
export async function readBlocks(
  context: Excel.RequestContext,
  wanted: readonly Wanted[],
  { progress = untold, formats = false }: { readonly progress?: Progress; readonly formats?: boolean } = {},
): Promise<readonly ReadBlock[]> {
  const total = wanted.reduce((sum, { block }) => sum + cellsIn(block), 0);
  const emptyRows = (block: Block) => Array.from({ length: rowsIn(block) }, (): unknown[] => []);
  const read = wanted.map(({ block }) => ({
    formulas: emptyRows(block),
    values: emptyRows(block),
    formats: emptyRows(block),
    types: emptyRows(block),
  }));
  const pile: Portion[] = wanted.map((one, of) => ({ ...one, of })).reverse();
  const portions = new Portions();
  let done = 0;
  while (pile.length > 0) {
    pass(progress, done, total, readingWhat);
    const taken = takePortions(pile, portions.size);
    const ranges = taken.map(rangeOf);
    const asked = formats ? "formulas,values,numberFormat" : "formulas,values";
    for (const range of ranges) range.load(asked);
    let typed: ReadonlySet<Excel.Range>;
    try {
      await context.sync();
      typed = await typesToo(context, ranges, asked);
    } catch (error) {
      if (!tooLarge(error) || portions.size === 1) throw error;
      portions.shrink();
      pile.push(...[...taken].reverse());
      continue;
    }
    let characters = 0;
    taken.forEach(({ of, block }, i) => {
      const [into, range, whole] = [read[of], ranges[i], wanted[of]?.block];
      if (into === undefined || range === undefined || whole === undefined) return;
      const grids: readonly (readonly [unknown[][], unknown[][]])[] = [
        [into.formulas, range.formulas],
        [into.values, range.values],
        ...(formats ? [[into.formats, range.numberFormat] as [unknown[][], unknown[][]]] : []),
        ...(typed.has(range) ? [[into.types, range.valueTypes] as [unknown[][], unknown[][]]] : []),
      ];
      for (const [rows, answered] of grids) {
        characters += charactersIn(answered);
        answered.forEach((row, down) => addAll(rows[block.top - whole.top + down] ?? [], row));
      }
    });
    if (pile.length > 0) letGo(ranges);
    const cells = taken.reduce((sum, { block }) => sum + cellsIn(block), 0);
    portions.learn(cells, characters);
    done += cells;
  }
  return read;
}

/** Cells to be written at a place, and how they are sent. */
export interface Written {
  readonly sheet: Excel.Worksheet;
  readonly top: number;
  readonly left: number;
  readonly rows: readonly (readonly unknown[])[];
}

export const blockFor = ({ top, left, rows }: Omit<Written, "sheet">): Block => ({
  top,
  left,
  bottom: top + rows.length - 1,
  right: left + (rows[0]?.length ?? 1) - 1,
});

/** Rows from the front that a request may hold, at the least one. */
function rowsThatFit(rows: Written["rows"], from: number): number {
  let [count, cells, characters] = [0, 0, 0];
  for (let at = from; at < rows.length; at++) {
    const row = rows[at] ?? [];
    cells += row.length;
    characters += charactersIn([row]);
    if (count > 0 && (cells > mostCells || characters > mostCharacters)) break;
    count++;
  }
  return count;
}

/** Sends cells to the host, a request for every portion of them that it passes on. */
export async function sendBlocks(
  context: Excel.RequestContext,
  blocks: readonly Written[],
  progress: Progress = untold,
): Promise<void> {
  const total = blocks.reduce((sum, { rows }) => sum + rows.length, 0);
  let [done, sent] = [0, 0];
  for (const { sheet, top, left, rows } of blocks) {
    for (let from = 0; from < rows.length;) {
      const part = rows.slice(from, from + rowsThatFit(rows, from));
      const characters = charactersIn(part) + charactersOfRange;
      if (sent > 0 && sent + characters > mostCharacters) {
        await context.sync();
        sent = 0;
        pass(progress, done, total, "Writing");
      }
      const target = forNow(sheet.getRangeByIndexes(top + from, left, part.length, part[0]?.length ?? 1));
      target.formulas = part.map((row) => [...row]);
      sent += characters;
      from += part.length;
      done += part.length;
    }
  }
  await context.sync();
}

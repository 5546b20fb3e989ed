/** Writes cell by cell where what stands is what was planned from, and leaves what somebody has written meanwhile. */
import type { Content, Progress, Range, RequestContext } from "../host";
import { asSentence, codeOf, letGo, pass, untold } from "../host";
import type { HeldRun } from "../marks";
import { asContent, asSent, isFormula, textFormat } from "./content";
import type { Written } from "./put-back";
import { eachCell, putBack } from "./put-back";
import { readsMore } from "./moved-formula";
import { endOfRequest } from "./portion";
import { runsOf } from "./runs";
import { sendAnew } from "./send-anew";
import type { Seen } from "./seen";
import type { Kept } from "./take-back-held";
import { ask, heldRangesOf, isAfter, isBefore, isForText, misread, rangesOf, seenOf } from "./seen";

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

export interface CarefulOptions {
  readonly progress?: Progress;
  readonly what?: string;
  readonly cellsAtOnce?: number;
  /** Told of formulas for cells formatted as text, before those lose that format for a moment. */
  readonly beforeTexts?: (changes: readonly CellChange[]) => Promise<void>;
  /** Told of what somebody typed in the very moment that it was written over, where the host fails to give it back. */
  readonly owes?: (cells: readonly CellChange[]) => void;
  /** Leaves a cell whose content the host refuses, and writes the others. */
  readonly passesRefused?: boolean;
  /** Is given ranges of what is written, which go along with their cells, to let them go itself; the surest come last. */
  readonly keeps?: (kept: readonly Kept[]) => void;
  /** Is given each range just before it is written, in the same request. */
  readonly holds?: (run: HeldRun, range: Range) => void;
}

export interface LeftOver {
  /** What was not written: somebody has written there meanwhile, or the host refused it. */
  readonly left: readonly CellChange[];
  /** Those of them that the host refused, with what it said. */
  readonly refused: ReadonlyMap<CellChange, string>;
}

/** So many cells of a request are held each by itself. */
const heldAlone = 100;
/** So many ranges are held until a work has been looked at as a whole. */
const mostKept = 2000;
/** Where little is written that takes long to work out. */
export const manyCells = 5000;

/** The host's words for what is not there, and for contents that it does not take. */
const gone = "ItemNotFound";
const refusedContents: readonly string[] = ["InvalidArgument", "FormulaLengthExceedsLimit"];

/** Writes changes request by request, and keeps what of them was left. */
class Careful implements LeftOver {
  readonly left: CellChange[] = [];
  readonly refused = new Map<CellChange, string>();
  private readonly torn = new Set<string>();
  /** The first cell of each group, which tells where the others are. */
  private readonly firsts = new Map<string, CellChange>();
  /** Groups whose formula stands there and fills its cells: of any other, what is in these was typed. */
  private readonly filling = new Set<string>();
  /** What each group's formula shows in the cells that it fills. */
  private readonly filled = new Map<string, Set<unknown>>();
  private readonly done: CellChange[] = [];
  /** What was ever sent, and what held all that was to come before anything was. */
  private readonly sent = new Set<CellChange>();
  private readonly already = new Set<CellChange>();
  private kept = 0;

  constructor(
    private readonly context: RequestContext,
    private readonly options: CarefulOptions,
  ) {}

  /** Whoever asks for the ranges gets as many as a host holds with ease. */
  private get isKeeping(): boolean {
    return this.options.keeps !== undefined && this.kept < mostKept;
  }

  private keep(ranges: readonly Kept[]): void {
    this.kept += ranges.length;
    this.options.keeps?.(ranges);
  }

  private leave(change: CellChange): void {
    this.left.push(change);
    if (change.group !== undefined) this.torn.add(change.group);
  }

  private look(seen: readonly Seen[]): void {
    for (const one of seen) {
      const { group, shows, before } = one.change;
      if (group === undefined) continue;
      if (isFormula(before)) this.filling.delete(group);
      if (isFormula(before) && one.value !== "#SPILL!") {
        // One that reads more by now fills more, and with other figures.
        const isFilling = isBefore(one) || readsMore(String(one.content), before.formula);
        if (isFilling) this.filling.add(group);
      }
      if (shows === undefined) continue;
      const all = this.filled.get(group) ?? new Set();
      this.filled.set(group, all.add(shows));
    }
  }

  /** What the formula of a group fills cells with is nothing that they hold, wherever it has moved to. */
  private isFilled({ group = "" }: CellChange, value: unknown): boolean {
    return this.filled.get(group)?.has(value) === true;
  }

  /** Whether a cell holds what it was planned from, or is filled by a formula that fills cells freely. */
  private isBefore(one: Seen): boolean {
    const { change, content, value } = one;
    if (isBefore(one)) return true;
    // Other inputs make other figures of it, and no words; a host may be late to say that words stand in its way.
    const isPart = change.before === "" && typeof change.shows === typeof value && change.group !== undefined;
    const isTold = isPart && this.filling.has(change.group ?? "");
    return isTold && content === value && !(typeof content === "string" && content.startsWith("="));
  }

  /** A cell that holds what was to come is put back with its group only where that came from here. */
  private holdsAfter(change: CellChange): void {
    if (this.sent.has(change)) this.done.push(change);
    else this.already.add(change);
  }

  /** What still holds what it was planned from. */
  private async standing(changes: readonly CellChange[]): Promise<readonly Seen[]> {
    const asked = ask(this.context, changes, this.isKeeping ? heldRangesOf(this.context) : undefined);
    await this.context.sync();
    // Of a request that fails the host keeps nothing: what it wrote is found by what was kept before.
    if (this.isKeeping) this.keep(asked.map((one) => ({ ...one, isEarlier: true })));
    const standing: Seen[] = [];
    const seen = seenOf(asked);
    this.look(seen);
    for (const one of seen) {
      const { change } = one;
      if (change.group !== undefined && !this.firsts.has(change.group)) this.firsts.set(change.group, change);
      if (isAfter(one) && !this.isBefore(one)) this.holdsAfter(change);
      else if (this.isBefore(one) && !this.torn.has(change.group ?? "")) standing.push(one);
      else this.leave(change);
    }
    return standing.filter(({ change }) => {
      const isTorn = this.torn.has(change.group ?? "");
      if (isTorn) this.left.push(change);
      return !isTorn;
    });
  }

  private async write(standing: readonly Seen[]): Promise<void> {
    const texts = standing.filter(isForText).map(({ change }) => change);
    if (texts.length > 0) await this.options.beforeTexts?.(texts);
    const isText = new Set(texts);
    const formats = new Map(standing.map(({ change, format }) => [change, String(format)]));
    // What stands there is told by the same request, just before it is written over; all of it first, since a host
    // works everything out that was written before it tells of a value.
    const asked = ask(
      this.context,
      standing.map(({ change }) => change),
    );
    const rangeOf = rangesOf(this.context);
    const heldOf = heldRangesOf(this.context);
    const written: Written[] = [];
    for (const { run } of asked) {
      const inTexts = runsOf(run.cells, (change) => isText.has(change)).map(({ row, count }) =>
        rangeOf({ ...run, row: run.row + row, cells: run.cells.slice(row, row + count) }),
      );
      for (const one of inTexts) one.numberFormat = "General" as unknown as string[][];
      // Held until it is known whether anything is to be given back: what is held goes along with its cells.
      const range = heldOf(run);
      this.options.holds?.({ ...run, count: run.cells.length }, range);
      range.formulas = run.cells.map((change) => [asSent(change.after, formats.get(change))]);
      written.push({ run, range });
      for (const one of inTexts) one.numberFormat = textFormat as unknown as string[][];
    }
    // Of cells that are all alike the run does not tell which one went with a row; of many the run is enough.
    if (standing.length <= heldAlone) written.unshift(...written.flatMap(eachCell));
    const isKept = this.isKeeping;
    if (isKept) this.keep(written);
    for (const { change } of standing) this.sent.add(change);
    try {
      await this.context.sync();
    } finally {
      const seen = seenOf(asked);
      // What is to be given back is known by our own text in its place.
      const anew = sendAnew(this.context, misread(seen, formats), written, this.options.owes);
      await anew.finally(() => this.giveBack(seen, formats, written));
      if (!isKept) letGo(written.map(({ range }) => range));
    }
    const given = new Set(this.left);
    this.done.push(...standing.flatMap(({ change }) => (given.has(change) ? [] : [change])));
  }

  /**
   * What somebody typed in the very moment that it was written over is given back: where what was written stands now,
   * since a host that failed has not written all of it, and rows may have been put in since.
   */
  private async giveBack(
    seen: readonly Seen[],
    formats: ReadonlyMap<CellChange, string>,
    written: readonly Written[],
  ): Promise<void> {
    this.look(seen);
    const changed = seen.filter((one) => !this.isBefore(one));
    // What was to come stood there already: what was planned from has moved away.
    for (const { change } of changed.filter(isAfter)) this.leave(change);
    const overwritten = changed.filter((one) => !isAfter(one));
    if (overwritten.length === 0) return;
    const back = new Map(
      overwritten.map(({ change, content, value }): [CellChange, CellChange] => {
        const { sheet, row, column, after } = change;
        const held = asContent(content, value);
        const given = !isFormula(held) && this.isFilled(change, value) ? "" : held;
        return [{ sheet, row, column, before: after, after: given }, change];
      }),
    );
    for (const change of back.values()) this.leave(change);
    // A formula of ours fills what was theirs until it is gone: what belongs to it follows when groups are settled.
    const torn = new Set(overwritten.map(({ change }) => change.group));
    for (const change of [...this.done, ...seen.map(({ change }) => change)]) {
      const { sheet, row, column, before, after, group } = change;
      if (group === undefined || !torn.has(group) || !isFormula(after) || this.left.includes(change))
        continue;
      back.set({ sheet, row, column, before: after, after: before }, change);
    }
    await putBack(this.context, [...back.keys()], {
      written,
      owes: this.options.owes,
      formatOf: (cell) => formats.get(back.get(cell) ?? cell),
      isFilled: (cell, value) => this.isFilled(back.get(cell) ?? cell, value),
    });
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

  private unsettled(changes: readonly CellChange[]): readonly CellChange[] {
    const settled = new Set([...this.left, ...this.done, ...this.already]);
    return changes.filter((change) => !settled.has(change));
  }

  async request(changes: readonly CellChange[]): Promise<void> {
    try {
      await this.write(await this.standing(changes));
    } catch (error) {
      const rest = this.unsettled(changes);
      if (refusedContents.includes(codeOf(error)) && this.options.passesRefused === true)
        return this.inHalves(rest, error);
      if (codeOf(error) !== gone) throw error;
      const still = await this.present(rest);
      // Where every sheet is there, something else is missing.
      if (still.length === rest.length) throw error;
      await this.request(still);
    }
  }

  /** A request is refused for one cell in it: halved until that is found, the others are written. */
  private async inHalves(changes: readonly CellChange[], why: unknown): Promise<void> {
    const [first] = changes;
    if (first === undefined) return;
    if (changes.length === 1) {
      this.refused.set(first, asSentence(why));
      return this.leave(first);
    }
    const middle = Math.ceil(changes.length / 2);
    for (const half of [changes.slice(0, middle), changes.slice(middle)])
      if (half.length > 0) await this.request(half);
  }

  /** A group of which a part was left is put back as a whole, if its first cell still is where it was. */
  async settleGroups(): Promise<void> {
    const done = new Set(this.done);
    const torn = this.done.filter(({ group }) => group !== undefined && this.torn.has(group));
    if (torn.length === 0) return;
    // Empty cells whose first was never written have nothing that tells where they are by now.
    const back = torn
      .filter(({ after, group = "" }) => after !== "" || done.has(this.firsts.get(group) as CellChange))
      .map(({ before, after, ...place }) => ({ ...place, before: after, after: before }));
    this.left.push(...torn);
    this.done.length = 0;
    this.torn.clear();
    for (let from = 0; from < back.length; from = endOfRequest(back, from))
      await this.write(await this.standing(back.slice(from, endOfRequest(back, from))));
  }
}

const downSheets = (a: CellChange, b: CellChange): number =>
  (a.sheet === b.sheet ? 0 : a.sheet < b.sheet ? -1 : 1) || a.column - b.column || a.row - b.row;

/**
 * Writes cell by cell where what stands is what was planned from, and answers with the changes that were left, since
 * somebody has written there meanwhile.
 */
export async function writeWhereStands(
  context: RequestContext,
  unsorted: readonly CellChange[],
  options: CarefulOptions = {},
): Promise<LeftOver> {
  const { progress = untold, what = "Writing", cellsAtOnce } = options;
  const changes = [...unsorted].sort(downSheets);
  const careful = new Careful(context, options);
  for (let from = 0; from < changes.length;) {
    pass(progress, from, changes.length, what);
    const end = endOfRequest(changes, from, cellsAtOnce);
    await careful.request(changes.slice(from, end));
    from = end;
  }
  await careful.settleGroups();
  return careful;
}

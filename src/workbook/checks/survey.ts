/** The workbook as it was read: what each cell holds, what depends on it, and how each sheet is laid out. */
import { givesOneValue } from "../../engine/formula";
import type { BidSheet, FoundBid } from "../bid";
import { bidSheets, bidWith } from "../bid";
import type { Block, CellContent, Pause, Pieces, Scalar, SheetCells } from "../host";
import { cellAddress, inSlices, isFormula } from "../host";
import type { BidLayout, BidSheetHere } from "./bid-layout";
import { bidLayout } from "./bid-layout";
import type { At, Layout } from "../tables";
import { layingOut } from "../tables";
import type { FormulaShape } from "./shapes";
import { placed, Shapes } from "./shapes";

export interface StoredCell extends CellContent {
  readonly shape: FormulaShape | undefined;
}

const columns = 16_384;
const cellsOfSheet = 1_048_576 * columns;

/** A cell as one number, for looking up what depends on it. */
export type CellKey = number;

const positionOf = ({ row, column }: At): number => row * columns + column;
const atPosition = (position: number): At => ({
  row: Math.floor(position / columns),
  column: position % columns,
});

const blank: StoredCell = { formula: "", value: null, shape: undefined };

export class SurveyedSheet {
  readonly cells = new Map<number, StoredCell>();
  /** What the names of its parts tell, which stay where they are as long as the survey holds. */
  private readonly byNames: BidLayout | undefined;
  private known: Layout = { tables: [], figures: [], about: new Map(), digest: "" };

  constructor(
    readonly name: string,
    readonly index: number,
    /** Which sheet of a bid it is, if it is one. */
    readonly ofBid: BidSheetHere | undefined,
  ) {
    this.byNames = ofBid === undefined ? undefined : bidLayout(ofBid);
  }

  get(at: At): StoredCell {
    return this.cells.get(positionOf(at)) ?? blank;
  }

  keyOf(at: At): CellKey {
    return this.index * cellsOfSheet + positionOf(at);
  }

  put(at: At, cell: StoredCell): void {
    if (cell.formula === "" && (cell.value === null || cell.value === "")) this.cells.delete(positionOf(at));
    else this.cells.set(positionOf(at), cell);
  }

  get layout(): Layout {
    return this.known;
  }

  /** Reads the layout; answers whether it is another one than before. */
  *layOut(): Pieces<boolean> {
    const before = this.known.digest;
    this.known = yield* layingOut(this, this.byNames);
    return this.known.digest !== before;
  }

  /** The cells of a column that hold something, from the top. */
  inColumn(column: number): readonly At[] {
    const rows: number[] = [];
    for (const position of this.cells.keys())
      if (position % columns === column) rows.push(Math.floor(position / columns));
    return rows.sort((a, b) => a - b).map((row) => ({ row, column }));
  }

  /** Every cell that holds something. */
  *filled(): Generator<readonly [At, StoredCell]> {
    for (const [position, cell] of this.cells) yield [atPosition(position), cell];
  }
}

/** A cell that was edited or worked out anew. */
export interface ReadCell extends At, CellContent {
  readonly sheet: string;
}

export interface Change {
  readonly sheet: SurveyedSheet;
  readonly at: At;
  readonly before: StoredCell;
  readonly now: StoredCell;
}

interface UsedBlock {
  readonly block: Block;
  readonly users: Set<CellKey>;
}

/** Up to so many cells of a reference are looked up one by one; a larger one is kept as a block. */
const fewCells = 16;

export class Survey {
  readonly sheets: readonly SurveyedSheet[];
  private readonly byName: ReadonlyMap<string, SurveyedSheet>;
  private readonly shapes = new Shapes();
  private readonly users = new Map<CellKey, Set<CellKey>>();
  private readonly blockUsers = new Map<number, Map<string, UsedBlock>>();
  private readonly callers = new Map<string, Set<CellKey>>();
  /** Those of them on a sheet that show more than 0. */
  private readonly giving = new Map<string, Set<CellKey>>();

  private constructor(
    names: readonly string[],
    private readonly bids: readonly FoundBid[],
  ) {
    this.sheets = names.map((name, index) => new SurveyedSheet(name, index, sheetHere(bids, name)));
    this.byName = new Map(this.sheets.map((sheet) => [sheet.name.toLowerCase(), sheet]));
  }

  static async of(
    sheets: readonly SheetCells[],
    pause: Pause,
    bids: readonly FoundBid[] = [],
  ): Promise<Survey> {
    const survey = new Survey(
      sheets.map(({ name }) => name),
      bids,
    );
    const total = sheets.reduce((sum, { rows }) => sum + rows.length, 0);
    let done = 0;
    for (const [index, { top, left, rows }] of sheets.entries()) {
      const sheet = survey.sheets[index];
      for (const [i, cells] of rows.entries()) {
        cells.forEach((content, j) => {
          if (sheet !== undefined && content.formula !== "")
            survey.enter(sheet, { row: top + i, column: left + j }, content);
        });
        await pause(++done, total);
      }
      if (sheet !== undefined) await inSlices(sheet.layOut(), pause);
    }
    return survey;
  }

  sheet(name: string): SurveyedSheet | undefined {
    return this.byName.get(name.toLowerCase());
  }

  placeOf(key: CellKey): { readonly sheet: SurveyedSheet; readonly at: At } | undefined {
    const sheet = this.sheets[Math.floor(key / cellsOfSheet)];
    return sheet === undefined ? undefined : { sheet, at: atPosition(key % cellsOfSheet) };
  }

  /** The cells that call one of our functions. */
  callersOf(id: string): ReadonlySet<CellKey> {
    return this.callers.get(id) ?? new Set();
  }

  /** Whether a call of one of our functions on a sheet shows more than 0. */
  gives(id: string, { index }: SurveyedSheet): boolean {
    return (this.giving.get(`${id} ${index}`)?.size ?? 0) > 0;
  }

  /** The sheets of the bid that a sheet belongs to, or undefined for one of the estimator's own. */
  bidOf({ name }: SurveyedSheet): readonly SurveyedSheet[] | undefined {
    const bid = bidWith(this.bids, name);
    const has = (which: BidSheet) => bid?.sheets.some((one) => one.which === which) === true;
    if (bid === undefined || !has("quantities") || !has("materials")) return undefined;
    return bidOrder.flatMap((which) =>
      bid.sheets.flatMap((one) => (one.which === which ? (this.sheet(one.name) ?? []) : [])),
    );
  }

  private enter(sheet: SurveyedSheet, at: At, content: CellContent): StoredCell {
    const { formula, value, isText } = content;
    const shape = isFormula(content) ? this.shapes.of(formula, at) : undefined;
    const cell: StoredCell = { formula, value, shape, ...(isText === true ? { isText } : {}) };
    sheet.put(at, cell);
    if (shape !== undefined) this.link(sheet, at, shape);
    if (typeof value === "number" && value > 0)
      for (const { id } of shape?.calls ?? []) addTo(this.giving, `${id} ${sheet.index}`, sheet.keyOf(at));
    return cell;
  }

  private link(home: SurveyedSheet, at: At, { references, calls }: FormulaShape): void {
    const user = home.keyOf(at);
    for (const { id } of calls) addTo(this.callers, id, user);
    for (const reference of references) {
      const sheet = reference.sheet === undefined ? home : this.sheet(reference.sheet);
      if (sheet === undefined) continue;
      const block = placed(reference, at);
      if ((block.bottom - block.top + 1) * (block.right - block.left + 1) > fewCells) {
        this.linkBlock(sheet, block, user);
        continue;
      }
      for (const cell of within(block)) addTo(this.users, sheet.keyOf(cell), user);
    }
  }

  private linkBlock({ index }: SurveyedSheet, block: Block, user: CellKey): void {
    const blocks = this.blockUsers.get(index) ?? new Map<string, UsedBlock>();
    this.blockUsers.set(index, blocks);
    const name = `${block.top} ${block.left} ${block.bottom} ${block.right}`;
    const known = blocks.get(name) ?? { block, users: new Set<CellKey>() };
    known.users.add(user);
    blocks.set(name, known);
  }

  /** The formulas that read a cell. Links of a formula that was replaced are still told. */
  private linked(sheet: SurveyedSheet, at: At): readonly CellKey[] {
    const single = this.users.get(sheet.keyOf(at)) ?? [];
    const blocks = [...(this.blockUsers.get(sheet.index)?.values() ?? [])]
      .filter(({ block }) => holds(block, at))
      .flatMap(({ users }) => [...users]);
    return [...single, ...blocks];
  }

  /** The formulas that read a cell now. */
  usersOf(sheet: SurveyedSheet, at: At): readonly { readonly sheet: SurveyedSheet; readonly at: At }[] {
    return this.linked(sheet, at).flatMap((key) => {
      const user = this.placeOf(key);
      const reads = user?.sheet
        .get(user.at)
        .shape?.references.some(
          (reference) =>
            (reference.sheet === undefined ? user.sheet : this.sheet(reference.sheet)) === sheet &&
            holds(placed(reference, user.at), at),
        );
      return user !== undefined && reads === true ? [user] : [];
    });
  }

  /** The cells that a formula reads, where they are few enough to be told one by one. */
  *readBy(home: SurveyedSheet, at: At, shape: FormulaShape | undefined): Generator<CellKey> {
    for (const reference of shape?.references ?? []) {
      const sheet = reference.sheet === undefined ? home : this.sheet(reference.sheet);
      const block = placed(reference, at);
      if (sheet === undefined || (block.bottom - block.top) * (block.right - block.left + 1) > mostTold)
        continue;
      for (const cell of within(block)) yield sheet.keyOf(cell);
    }
  }

  /** These cells and all that are worked out from them, directly or not. */
  *affectedBy(keys: Iterable<CellKey>): Pieces<ReadonlySet<CellKey>> {
    const affected = new Set<CellKey>(keys);
    let seen = 0;
    // A set may grow while it is gone through, and what is added comes in its turn.
    for (const key of affected) {
      if (++seen % cellsAtATime === 0) yield seen / affected.size;
      const place = this.placeOf(key);
      if (place === undefined) continue;
      for (const user of this.linked(place.sheet, place.at)) affected.add(user);
      for (const cell of spilledOver(place.sheet, place.at)) affected.add(place.sheet.keyOf(cell));
    }
    return affected;
  }

  /** Takes in what cells hold now; answers with those that hold something else than before. */
  *take(cells: readonly ReadCell[]): Pieces<readonly Change[]> {
    const changes: Change[] = [];
    for (const [i, { sheet: name, row, column, formula, value }] of cells.entries()) {
      if (i % cellsAtATime === 0) yield i / cells.length;
      const sheet = this.sheet(name);
      const at = { row, column };
      const before = sheet?.get(at);
      if (sheet === undefined || before === undefined) continue;
      if (before.formula === formula && same(before.value, value)) continue;
      for (const { id } of before.shape?.calls ?? []) {
        this.callers.get(id)?.delete(sheet.keyOf(at));
        this.giving.get(`${id} ${sheet.index}`)?.delete(sheet.keyOf(at));
      }
      changes.push({ sheet, at, before, now: this.enter(sheet, at, { formula, value }) });
    }
    return changes;
  }
}

const mostTold = 20_000;

/** Cells that are gone through between two pauses. */
const cellsAtATime = 100;

/** Nothing is nothing, whichever way the host says it. */
const same = (a: Scalar, b: Scalar): boolean => (a ?? "") === (b ?? "");

const holds = ({ top, left, bottom, right }: Block, { row, column }: At): boolean =>
  row >= top && row <= bottom && column >= left && column <= right;

/** A spill is as large as what it is given, or a little wider: no host tells how large. */
const widestSpill = 4;

function spilledOver(sheet: SurveyedSheet, at: At): Iterable<At> {
  const { shape } = sheet.get(at);
  if (shape?.calls.some(({ definition }) => !givesOneValue(definition)) !== true) return [];
  const blocks = shape.references.map((reference) => placed(reference, at));
  const rows = Math.max(1, ...blocks.map(({ top, bottom }) => bottom - top + 1));
  if (rows > mostTold) return [];
  return within({ top: at.row, left: at.column, bottom: at.row + rows - 1, right: at.column + widestSpill });
}

export function* within({ top, left, bottom, right }: Block): Generator<At> {
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) yield { row, column };
  }
}

function addTo<K>(index: Map<K, Set<CellKey>>, key: K, user: CellKey): void {
  const known = index.get(key);
  if (known === undefined) index.set(key, new Set([user]));
  else known.add(user);
}

/** Where one label is on several sheets of a bid: what the job chose stands first, then what was measured and bought. */
const bidOrder: readonly BidSheet[] = [
  ...new Set<BidSheet>([
    "quantities",
    "order",
    "site",
    "materials",
    "outlines",
    "review",
    "record",
    "watering",
    "crew",
    "bid",
    ...bidSheets,
  ]),
];

function sheetHere(bids: readonly FoundBid[], name: string): BidSheetHere | undefined {
  const bid = bidWith(bids, name);
  const found = bid?.sheets.find((one) => one.name === name);
  return bid === undefined || found === undefined ? undefined : { found, system: bid.system };
}

export const addressOf = ({ row, column }: At): string => cellAddress(row, column);

/** How a sheet is laid out, read as a person reads it: tables under a row of heads, and figures beside their labels. */
import { addAll } from "../../engine/lists";
import type { UnitSystem } from "../../engine/units";
import type { Block, CellContent, Pieces } from "../host";
import { emptyCell, isFormula } from "../host";
import type { ColumnDraft } from "./columns";
import { resolved, suited } from "./columns";
import type { Concept, Meaning } from "./concepts";
import { isText } from "./concepts";
import type { At, Grid } from "./grid";
import { isWords, textOf } from "./grid";
import type { Candidate, HeadingRead } from "./headings";
import { headingRead, isPlain } from "./headings";
import type { FilledRow, Judged } from "./rows";
import { cellsAcross, heldIn, isLikeTable, isUnitsRow, nothingHeld, rowsBelow } from "./rows";
import type { NamedUnit } from "./spelled-units";
import { unitSpelled } from "./units";

export interface TableColumn {
  readonly column: number;
  readonly concept: Concept | undefined;
  readonly head: string;
  readonly system: UnitSystem | undefined;
  /** Given where the head, or a row of units under it, states one. */
  readonly unit?: NamedUnit;
  /** Set where a unit alone, or a word among others that are not known, says what it is. */
  readonly isLoose?: true;
  /** Its place among the columns as they are declared, from which they may have been moved. */
  readonly declaredAt?: number;
}

export interface Table {
  readonly head: number;
  readonly columns: readonly TableColumn[];
  /** The rows under the heads. */
  readonly first: number;
  readonly last: number;
}

export interface Figure {
  readonly concept: Concept;
  readonly label: string;
  /** Where the figure itself stands. */
  readonly at: At;
  /** Given where the label, or the cell beside the figure, states one. */
  readonly unit?: NamedUnit;
}

export interface Layout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  /** The figures about one thing, from the top. */
  readonly about: ReadonlyMap<Concept, readonly Figure[]>;
  /** The same for the same layout. */
  readonly digest: string;
}

interface Cells {
  filled(): Iterable<readonly [At, CellContent]>;
}

type Row = ReadonlyMap<number, CellContent>;

/** The rows of a sheet that hold something, without what is known already. */
class Rows implements Grid {
  readonly lastRow: number;

  constructor(
    private readonly rows: ReadonlyMap<number, Row>,
    readonly inOrder: readonly number[],
  ) {
    this.lastRow = inOrder[inOrder.length - 1] ?? -1;
  }

  row(row: number): Row {
    return this.rows.get(row) ?? noCells;
  }

  at(row: number, column: number): CellContent {
    return this.row(row).get(column) ?? emptyCell;
  }
}

const noCells: Row = new Map();

const isTyped = (cell: CellContent): boolean => !isFormula(cell);
const isTypedText = (cell: CellContent): boolean => isWords(cell) && cell.formula !== "" && isTyped(cell);

/** A figure stands so close to its label. */
const reach = 3;

interface Head {
  readonly column: number;
  readonly head: string;
  readonly read: HeadingRead;
}

const namesIn = (heads: readonly Head[], isMeant: (one: Candidate, read: HeadingRead) => boolean): number =>
  new Set(
    heads.flatMap(({ read }) => {
      const [first] = read.candidates;
      return first !== undefined && isMeant(first, read) ? first.meaning.id : [];
    }),
  ).size;

/** How many things the heads name, and how many of them by what is said there alone. */
const known = (heads: readonly Head[]): number => namesIn(heads, () => true);
const plain = (heads: readonly Head[]): number =>
  namesIn(heads, (first, { heading }) => isPlain(first, heading));

/** So many heads that are known make a row of heads. */
const leastKnown = 2;

/** The heads in a row, of each table that may stand there: tables side by side are parted by an empty column. */
function headsIn(row: Row): readonly (readonly Head[])[] {
  const tables: Head[][] = [];
  for (const [column, cell] of [...row].sort(([a], [b]) => a - b)) {
    // A text with a number beside it is a label and no head.
    if (!isTypedText(cell) || typeof row.get(column + 1)?.value === "number") continue;
    const one = { column, head: cell.formula, read: headingRead(cell.formula) };
    const last = tables[tables.length - 1];
    const isApart = last !== undefined && (last[last.length - 1]?.column ?? 0) < column - 1;
    if (last === undefined || (isApart && known(last) >= leastKnown)) tables.push([one]);
    else last.push(one);
  }
  const [before, last] = tables.slice(-2);
  // What is no table by itself belongs to the one before.
  if (before !== undefined && last !== undefined && known(last) < leastKnown) {
    addAll(before, last);
    tables.pop();
  }
  return tables.filter((heads) => known(heads) >= leastKnown && !hasNumbers(row, heads));
}

type Span = readonly [left: number, right: number];

const spanOf = (columns: readonly { readonly column: number }[]): Span => [
  columns[0]?.column ?? 0,
  columns[columns.length - 1]?.column ?? 0,
];

function hasNumbers(row: Row, columns: readonly Head[]): boolean {
  const [left, right] = spanOf(columns);
  return [...row].some(([column, { value }]) => column > left && column < right && typeof value === "number");
}

const isFigure = (cell: CellContent): boolean => typeof cell.value === "number" || !isTyped(cell);

/**
 * Whether heads that may as well be what cells hold, such as "Compost" and "Bag", begin a table: nothing but a title
 * stands right above them, and figures right below, which are no figures beside labels.
 */
function beginsTable(rows: Rows, row: number, heads: readonly Head[], first: number): boolean {
  const columns = heads.map(({ column }) => column);
  const above = cellsAcross(rows, row - 1, columns).filter((cell) => cell.formula !== "");
  if (above.length > 1 || above.some(isFigure)) return false;
  const below = cellsAcross(rows, first, columns);
  if (!below.some(isFigure)) return false;
  const [name, figure] = below;
  const isLabel =
    columns.length === 2 &&
    name !== undefined &&
    isTypedText(name) &&
    headingRead(name.formula).candidates.length > 0;
  return !(isLabel && figure !== undefined && isFigure(figure));
}

/** The figure beside a label: a number within reach, or words in the very next cell. */
function besideLabel(line: Row, row: number, column: number, label: string): Figure | undefined {
  const { candidates, heading } = headingRead(label);
  if (candidates.length === 0) return undefined;
  for (let step = 1; step <= reach; step++) {
    const cell = line.get(column + step);
    if (cell === undefined) continue;
    const isString = typeof cell.value === "string";
    const fitting = candidates.filter(({ meaning }) => !isText(meaning) || step === 1);
    const exact = fitting.find(({ meaning }) => isText(meaning) === isString);
    const one = exact ?? (isTyped(cell) ? undefined : fitting[0]);
    if (one === undefined) return undefined;
    const at = { row, column: column + step };
    const unit = heading.unit ?? unitSpelled(textOf(line.get(at.column + 1) ?? emptyCell));
    return { concept: one.meaning.id, label, at, ...(unit === undefined ? {} : { unit }) };
  }
  return undefined;
}

/** Rows that are read between two pauses, and cells. */
const rowsAtATime = 100;
const cellsAtATime = 1000;

function* inRows(cells: Cells, isRead: (at: At) => boolean): Pieces<Rows> {
  const rows = new Map<number, Map<number, CellContent>>();
  let seen = 0;
  for (const [{ row, column }, cell] of cells.filled()) {
    if (++seen % cellsAtATime === 0) yield 0;
    if (!isRead({ row, column })) continue;
    const known = rows.get(row);
    if (known === undefined) rows.set(row, new Map([[column, cell]]));
    else known.set(column, cell);
  }
  return new Rows(
    rows,
    [...rows.keys()].sort((a, b) => a - b),
  );
}

interface Heads {
  readonly row: number;
  readonly heads: readonly Head[];
  /** Where its rows begin: below a row of units, if there is one. */
  readonly first: number;
}

/** Every row of heads on a sheet, from the top. */
function* allHeads(rows: Rows): Pieces<readonly Heads[]> {
  const found: Heads[] = [];
  for (const [i, row] of rows.inOrder.entries()) {
    if (i % rowsAtATime === 0) yield 0.3;
    for (const heads of headsIn(rows.row(row))) {
      const columns = heads.map(({ column }) => column);
      const first = isUnitsRow(cellsAcross(rows, row + 1, columns)) ? row + 2 : row + 1;
      if (plain(heads) < leastKnown && !beginsTable(rows, row, heads, first)) continue;
      found.push({ row, heads, first });
    }
  }
  return found;
}

/** Nobody looks at what these tables are taken for: after an empty row only what is like the other rows is one. */
function judge(row: FilledRow): Judged {
  if (row.totals === "told") return "the end";
  return row.totals === undefined && (row.gap === 0 || isLikeTable(row)) ? "of the table" : "passed over";
}

const isLoose = ({ word, beside }: Candidate): boolean => word === "" || beside === true;

/** What is named loosely is the wider thing at the most, and gives way to every other head that names it. */
function conceptOfHead(pick: Candidate, many: ReadonlyMap<Meaning, number>): Concept | undefined {
  const { meaning } = pick;
  if (!isLoose(pick)) return meaning.id;
  return (many.get(meaning) ?? 0) > 1 ? undefined : (meaning.isA ?? meaning.id);
}

function* columnsOf(
  rows: Rows,
  { row, heads, first }: Heads,
  filled: readonly number[],
): Pieces<TableColumn[]> {
  const drafts: ColumnDraft[] = [];
  for (const { column, head } of heads) {
    const read = headingRead(head, first > row + 1 ? textOf(rows.at(row + 1, column)) : "");
    const held = read.candidates.length === 0 ? nothingHeld : yield* heldIn(rows, column, filled);
    drafts.push({ read, candidates: suited(read, held) });
  }
  const picks = resolved(drafts);
  const many = new Map<Meaning, number>();
  for (const pick of picks) if (pick !== undefined) many.set(pick.meaning, (many.get(pick.meaning) ?? 0) + 1);
  return heads.map(({ column, head }, i): TableColumn => {
    const [unit, pick] = [drafts[i]?.read.heading.unit, picks[i]];
    return {
      column,
      head,
      concept: pick === undefined ? undefined : conceptOfHead(pick, many),
      system: unit?.system,
      ...(unit === undefined ? {} : { unit }),
      ...(pick !== undefined && isLoose(pick) ? { isLoose: true } : {}),
    };
  });
}

function* tablesUnder(heads: readonly Heads[], rows: Rows): Pieces<readonly Table[]> {
  const headRows = [...new Set(heads.map(({ row }) => row))];
  const nextHead = new Map(headRows.map((row, i) => [row, headRows[i + 1]]));
  const tables: Table[] = [];
  for (const one of heads) {
    const columns = one.heads.map(({ column }) => column);
    const to = (nextHead.get(one.row) ?? rows.lastRow + 1) - 1;
    const below = yield* rowsBelow(rows, { columns, ofWords: new Set(columns), from: one.first, to }, judge);
    if (below.last < one.first) continue;
    tables.push({
      head: one.row,
      columns: yield* columnsOf(rows, one, below.rows),
      first: one.first,
      last: below.last,
    });
  }
  return tables;
}

/** The figures of a row beside labels that stand in none of these spans. */
function figuresIn(line: Row, row: number, spans: readonly Span[]): readonly Figure[] {
  const across = [...line].sort(([a], [b]) => a - b);
  return across.flatMap(([column, cell]): Figure[] => {
    if (!isTypedText(cell) || spans.some(([left, right]) => column >= left && column <= right)) return [];
    const beside = besideLabel(line, row, column, cell.formula);
    return beside === undefined ? [] : [beside];
  });
}

/** What is known of a sheet without its words: a sheet of a bid has names for its parts. */
interface KnownLayout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  readonly covered: readonly Block[];
}

const isIn = (blocks: readonly Block[], { row, column }: At): boolean =>
  blocks.some(
    ({ top, left, bottom, right }) => row >= top && row <= bottom && column >= left && column <= right,
  );

/** Reads how a sheet is laid out, some rows at a time; only what is not known already is read by its words. */
export function* layingOut(
  cells: Cells,
  known: KnownLayout = { tables: [], figures: [], covered: [] },
): Pieces<Layout> {
  const rows = yield* inRows(cells, (at) => !isIn(known.covered, at));
  const read = yield* tablesUnder(yield* allHeads(rows), rows);
  // In the order of their heads: those that a row may stand in come and go as the rows go by.
  const found: Figure[] = [];
  let [next, open]: [number, readonly Table[]] = [0, []];
  for (const [i, row] of rows.inOrder.entries()) {
    if (i % rowsAtATime === 0) yield 0.7;
    open = open.filter(({ last }) => last >= row);
    for (let table = read[next]; table !== undefined && table.head <= row; table = read[++next])
      open = [...open, table];
    const spans = open.map(({ columns }) => spanOf(columns));
    addAll(found, figuresIn(rows.row(row), row, spans));
  }
  const tables = [...known.tables, ...read].sort((one, other) => one.first - other.first);
  const figures = [...known.figures, ...found].sort((one, other) => one.at.row - other.at.row);
  const about = new Map<Concept, Figure[]>();
  for (const figure of figures) {
    const known = about.get(figure.concept);
    if (known === undefined) about.set(figure.concept, [figure]);
    else known.push(figure);
  }
  return { tables, figures, about, digest: JSON.stringify([tables, figures]) };
}

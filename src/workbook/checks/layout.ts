/** How a sheet is laid out, read as a person reads it: tables under a row of heads, and figures beside their labels. */
import type { UnitSystem } from "../../engine/units";
import type { CellContent } from "../sheets";
import type { Concept } from "./concepts";
import { conceptOf, isInWords, systemIn } from "./concepts";
import type { At } from "./shapes";

export interface TableColumn {
  readonly column: number;
  readonly concept: Concept | undefined;
  readonly head: string;
  readonly system: UnitSystem | undefined;
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
}

export interface Layout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  /** The same for the same layout. */
  readonly digest: string;
}

interface Cells {
  filled(): Iterable<readonly [At, CellContent]>;
}

const isText = ({ formula, value }: CellContent): boolean =>
  typeof value === "string" && !formula.startsWith("=") && formula !== "";
const isTyped = ({ formula }: CellContent): boolean => !formula.startsWith("=");

/** A row of a table that is none of its entries. */
const closes = (text: string): boolean =>
  /above this line/i.test(text) || /^(all|total|totals|sum|in all)\b/i.test(text.trim());

/** So many empty rows end a table. */
const mostEmpty = 3;
/** A figure stands so close to its label. */
const reach = 3;

type Row = ReadonlyMap<number, CellContent>;

function headsOf(row: Row): readonly TableColumn[] | undefined {
  const columns: TableColumn[] = [];
  for (const [column, cell] of row) {
    if (typeof cell.value === "number") return undefined;
    if (!isText(cell)) continue;
    const head = cell.formula;
    columns.push({ column, head, concept: conceptOf(head), system: systemIn(head) });
  }
  const known = new Set(columns.flatMap(({ concept }) => concept ?? []));
  return known.size >= 2 ? columns.sort((a, b) => a.column - b.column) : undefined;
}

/** After an empty row only a row that is filled in like one of the table goes on with it. */
const isLikeTable = (filled: number, columns: number): boolean => filled >= Math.max(3, columns / 2);

function lastRow(rows: ReadonlyMap<number, Row>, heads: readonly TableColumn[], from: number, to: number) {
  const inTable = new Set(heads.map(({ column }) => column));
  const named = Math.min(...heads.filter(({ concept }) => concept !== undefined).map(({ column }) => column));
  let last = from - 1;
  for (let row = from; row < to && row - last <= mostEmpty; row++) {
    const cells = rows.get(row) ?? new Map<number, CellContent>();
    const filled = [...cells.keys()].filter((column) => inTable.has(column)).length;
    if (filled === 0 || (row - last > 1 && !isLikeTable(filled, inTable.size))) continue;
    const name = cells.get(named) ?? cells.get(Math.min(...cells.keys()));
    if (name !== undefined && isTyped(name) && closes(name.formula)) break;
    last = row;
  }
  return last;
}

/** The figure beside a label: a number within reach, or words in the very next cell. */
function besideLabel(row: Row, column: number, concept: Concept): number | undefined {
  for (let step = 1; step <= (isInWords(concept) ? 1 : reach); step++) {
    const cell = row.get(column + step);
    if (cell === undefined) continue;
    const isRight = !isTyped(cell) || isInWords(concept) === (typeof cell.value === "string");
    return isRight ? column + step : undefined;
  }
  return undefined;
}

export function layoutOf(cells: Cells): Layout {
  const rows = new Map<number, Map<number, CellContent>>();
  for (const [{ row, column }, cell] of cells.filled()) {
    const known = rows.get(row);
    if (known === undefined) rows.set(row, new Map([[column, cell]]));
    else known.set(column, cell);
  }
  const inOrder = [...rows.keys()].sort((a, b) => a - b);
  const end = (inOrder[inOrder.length - 1] ?? -1) + 1;
  const heads = inOrder.flatMap((row) => {
    const columns = headsOf(rows.get(row) ?? new Map());
    return columns === undefined ? [] : [{ row, columns }];
  });
  const tables = heads.flatMap(({ row, columns }, i): Table[] => {
    const last = lastRow(rows, columns, row + 1, heads[i + 1]?.row ?? end);
    return last <= row ? [] : [{ head: row, columns, first: row + 1, last }];
  });
  const inTable = new Set(
    tables.flatMap(({ head, last }) => Array.from({ length: last - head + 1 }, (_, i) => head + i)),
  );
  const figures = inOrder.flatMap((row) => {
    const line = rows.get(row) ?? new Map<number, CellContent>();
    if (inTable.has(row)) return [];
    const across = [...line].sort(([a], [b]) => a - b);
    return across.flatMap(([column, cell]): Figure[] => {
      const concept = isText(cell) ? conceptOf(cell.formula) : undefined;
      const beside = concept === undefined ? undefined : besideLabel(line, column, concept);
      if (concept === undefined || beside === undefined) return [];
      return [{ concept, label: cell.formula, at: { row, column: beside } }];
    });
  });
  return { tables, figures, digest: JSON.stringify([tables, figures]) };
}

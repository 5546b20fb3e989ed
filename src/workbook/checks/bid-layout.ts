/** How a sheet of a bid is laid out, by the names of its parts: whatever its heads and labels say by now. */
import type { UnitSystem } from "../../engine/units";
import type { Declared, FoundSheet, Table as DeclaredTable } from "../bid";
import { bidFigures, bidTables, namedIn, partName, unitOf } from "../bid";
import type { Block } from "../host";
import type { Figure, Table } from "../tables";

/** A sheet of a bid as it was found, and the units of its bid. */
export interface BidSheetHere {
  readonly found: FoundSheet;
  readonly system: UnitSystem;
}

export interface BidLayout {
  readonly tables: readonly Table[];
  readonly figures: readonly Figure[];
  /** What they cover, heads included: nothing there is read by its wording. */
  readonly covered: readonly Block[];
}

/** The unit system that a figure is told in, where the two tell it in different units. */
const systemOf = (declared: Declared, system: UnitSystem): UnitSystem | undefined =>
  unitOf(declared, "us") === unitOf(declared, "metric") ? undefined : system;

/** A column of a table with the cells that its name stands for now. */
interface StandingColumn {
  readonly declared: Declared;
  readonly block: Block;
}

const columnsOf = (table: DeclaredTable, { parts }: FoundSheet): readonly StandingColumn[] =>
  Object.entries(table.columns).flatMap(([id, declared]) => {
    const block = parts.get(partName(table.id, id).toLowerCase());
    return block === undefined ? [] : [{ declared, block }];
  });

function layOutTable(table: DeclaredTable, columns: readonly StandingColumn[], system: UnitSystem): Table {
  const head = Math.max(...columns.map(({ block }) => block.top));
  const bottom = Math.min(...columns.map(({ block }) => block.bottom));
  return {
    head,
    first: head + 1,
    last: table.isOpen ? bottom - 1 : bottom,
    columns: columns
      .map(({ declared, block }, declaredAt) => ({
        column: block.left,
        declaredAt,
        concept: declared.means,
        head: namedIn(declared, system).name,
        system: systemOf(declared, system),
      }))
      .sort((one, other) => one.column - other.column),
  };
}

export function bidLayout({ found, system }: BidSheetHere): BidLayout {
  const own = bidTables.filter(({ sheet }) => sheet === found.which);
  const standing = own.map((table) => ({ table, columns: columnsOf(table, found) }));
  const tables = standing
    .filter(({ table, columns }) => table.across === undefined && columns.length > 0)
    .map(({ table, columns }) => layOutTable(table, columns, system))
    .filter(({ first, last }) => last >= first);
  const listed = bidFigures
    .filter(({ sheet }) => sheet === found.which)
    .flatMap(({ id, figures }) =>
      Object.entries(figures).flatMap(([figure, declared]) => {
        const block = found.parts.get(partName(id, figure).toLowerCase());
        return block === undefined ? [] : [{ declared, block }];
      }),
    );
  const figures = listed.flatMap(({ declared, block }): Figure[] => {
    const { means } = declared;
    const at = { row: block.top, column: block.left };
    return means === undefined ? [] : [{ concept: means, label: namedIn(declared, system).name, at }];
  });
  // A label stands to the left of its figure, at the most three columns off.
  const labelled = listed.map(({ block }) => ({ ...block, left: Math.max(0, block.left - labelReach) }));
  const covered = [...standing.flatMap(({ columns }) => columns.map(({ block }) => block)), ...labelled];
  return { tables, figures, covered };
}

const labelReach = 3;

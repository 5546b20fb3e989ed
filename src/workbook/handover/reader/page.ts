/** A page: what of a sheet the reader gets. */
import type { Block } from "../../host";
import type { SourceSheet } from "./source-sheets";
import type { PageWanted } from "./reader-options";
import type { FileName } from "./file-names";
import { blocksNamed, builtIn } from "./file-names";
import { trouble } from "./trouble";

export interface Page extends SourceSheet {
  readonly wanted: PageWanted;
  readonly printed: readonly Block[];
  /** The columns that the reader gets, where it is not all of them. */
  readonly given: ReadonlySet<number> | undefined;
  readonly isKept: (row: number, column: number) => boolean;
}

export const isIn = ({ top, left, bottom, right }: Block, row: number, column: number): boolean =>
  row >= top && row <= bottom && column >= left && column <= right;

/** Part of a page: the columns under some heads, and the rows that belong to the list below them. */
interface PartOfPage {
  readonly columns: ReadonlySet<number>;
  readonly isKept: (row: number, column: number) => boolean;
}

/**
 * What stands above the list stays where it stands in its first column. Nothing further down the sheet can come in by
 * standing under one of the columns.
 */
function partUnder(
  { sheet }: SourceSheet,
  wanted: readonly string[],
  names: readonly FileName[],
): PartOfPage {
  const blocks = wanted.map((name) => {
    const [block] = blocksNamed(names, name, sheet.name) ?? [];
    return (
      block ??
      trouble(
        `${sheet.name} no longer has its cells by the name ${name}: undo what took them away, then hand over.`,
      )
    );
  });
  const first = Math.min(...blocks.map(({ left }) => left));
  const top = Math.min(...blocks.map((block) => block.top));
  return {
    columns: new Set(blocks.map(({ left }) => left)),
    isKept: (row, column) =>
      (row < top && column === first) || blocks.some((block) => isIn(block, row, column)),
  };
}

export function pageOf(source: SourceSheet, wanted: PageWanted, names: readonly FileName[]): Page {
  const { sheet, looks } = source;
  const printed = blocksNamed(names, builtIn.area, sheet.name) ?? [];
  const part = wanted.columns === undefined ? undefined : partUnder(source, wanted.columns, names);
  return {
    ...source,
    wanted,
    printed,
    given: part?.columns,
    isKept: (row, column) =>
      (printed.length === 0 || printed.some((block) => isIn(block, row, column))) &&
      (part?.isKept(row, column) ?? true) &&
      !looks.isUnseen(row, column),
  };
}

/**
 * Names are looked up as they are. What reads criteria or patterns (SUMIF, COUNTIF, MATCH of a text) takes `Lawn*` for
 * every lawn and `>1 acre` for a comparison; a comparison of cells takes any text for itself and minds capitals as
 * little as the lists to choose from do. The form is one that every spreadsheet calculates without array entry.
 */

/** A list on a sheet: from its head to its closing line, so that a line put in anywhere is within. */
export interface NamedLines {
  readonly names: string;
  /** A column in which only the head holds what the head holds, and that head: a line may be called as its head is. */
  readonly others: string;
  readonly othersHead: string;
  /** The cell of the names that closes the list. */
  readonly closing: string;
}

const isLine = ({ names, others, othersHead }: NamedLines, name: string): string =>
  `(${names}=${name})*(${others}<>${othersHead})`;

/** The first line of a name, the head counted as 1; not available where there is none. */
export const lineOf = (list: NamedLines, name: string): string => `MATCH(1,INDEX(${isLine(list, name)},0),0)`;

/** How many lines have a name. */
export const linesNamed = (list: NamedLines, name: string): string =>
  `SUMPRODUCT(${isLine(list, name)})-(${list.closing}=${name})`;

/** A name that was chosen from a list, and the cell that holds its line. */
export interface ChosenLine {
  readonly name: string;
  readonly line: string;
}

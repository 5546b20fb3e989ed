/**
 * What somebody typed in the very moment that it was written over is theirs to have back. Where the host fails before it
 * can be given back, it is kept on this machine, with the mark of the work, until the workbook answers again.
 */
import type { Content } from "../host";
import { Kept } from "./kept";

/** A cell as it was written over, and what it held just before; its sheet by id. */
export interface OwedCell {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
  readonly before: Content;
  readonly after: Content;
}

type Owed = Readonly<Record<string, readonly OwedCell[]>>;

const isOwed = (told: unknown): told is Owed =>
  typeof told === "object" && told !== null && Object.values(told).every((one) => Array.isArray(one));

const owed = new Kept<Owed>("swardsheet owed", isOwed, {});

/** Keeps what is to be given back. */
export const owe = (mark: string, cells: readonly OwedCell[]): void =>
  owed.write({ ...owed.read(), [mark]: [...(owed.read()[mark] ?? []), ...cells] });

/** Nothing is owed any more for that mark. */
export function forgetOwed(mark: string): void {
  const { [mark]: own, ...others } = owed.read();
  if (own !== undefined) owed.write(others);
}

/** Of what was owed for that mark only this is owed by now. */
export function oweOnly(mark: string, cells: readonly OwedCell[]): void {
  forgetOwed(mark);
  if (cells.length > 0) owe(mark, cells);
}

/** What is to be given back for that mark. */
export const owedFor = (mark: string): readonly OwedCell[] | undefined => owed.read()[mark];

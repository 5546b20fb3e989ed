/**
 * What somebody typed in the very moment that it was written over is theirs to have back. Where the host fails before it
 * can be given back, it is kept on this machine, with the mark of the work, until the workbook answers again.
 */
import type { CellChange } from "../writing/where-stands";
import { writeWhereStands } from "../writing/where-stands";
import { Kept } from "./kept";

type Owed = Readonly<Record<string, readonly CellChange[]>>;

const isOwed = (told: unknown): told is Owed =>
  typeof told === "object" && told !== null && Object.values(told).every((one) => Array.isArray(one));

const owed = new Kept<Owed>("swardsheet owed", isOwed, {});

/** Keeps what is to be given back: each cell as it was written over, and what it held just before. */
export const owe = (mark: string, cells: readonly CellChange[]): void =>
  owed.write({ ...owed.read(), [mark]: [...(owed.read()[mark] ?? []), ...cells] });

/** Nothing is owed any more for that mark. */
export function forgetOwed(mark: string): void {
  const { [mark]: own, ...others } = owed.read();
  if (own !== undefined) owed.write(others);
}

/** Gives back what is owed, where our own content still stands in its place. */
export async function giveBackOwed(context: Excel.RequestContext, mark: string): Promise<void> {
  const cells = owed.read()[mark];
  if (cells === undefined) return;
  await writeWhereStands(context, cells);
  forgetOwed(mark);
}

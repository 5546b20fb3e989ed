/** How many changes go into one request. */
import type { Content } from "../host";
import type { CellChange } from "./where-stands";

/**
 * How much goes into one request: the host is asked often enough to show progress, and not for every cell. It refuses
 * requests above 5 MB, a letter may take four bytes, and a range is told of with 2,000 letters.
 */
const perRequest = { cells: 500, ranges: 300, letters: 500_000 } as const;
const lettersIn = (content: Content): number =>
  typeof content === "object" ? content.formula.length : String(content).length;

/** Where the request that begins here ends. */
export function endOfRequest(
  changes: readonly CellChange[],
  from: number,
  cells: number = perRequest.cells,
): number {
  let [letters, ranges, end] = [0, 0, from];
  for (; end < changes.length && end - from < cells; end++) {
    const [change, last] = [changes[end], changes[end - 1]];
    if (change === undefined) continue;
    letters += Math.max(lettersIn(change.before), lettersIn(change.after));
    const follows =
      last?.sheet === change.sheet && last.column === change.column && last.row + 1 === change.row;
    if (!follows || end === from) ranges++;
    if ((letters > perRequest.letters || ranges > perRequest.ranges) && end > from) break;
  }
  return end;
}

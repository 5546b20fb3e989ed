/** Where a zone stands after rows, columns or cells were put in or taken out before it or within it. */
import { MAX_COLUMNS, MAX_ROWS } from "./area";
import type { Zone } from "./spreadsheet";
import type { Shift } from "./told-changes";

interface Stretch {
  readonly first: number;
  readonly last: number;
}

/** A stretch along one way; nothing where all of it was taken out. */
function movedStretch(
  { first, last }: Stretch,
  at: Stretch,
  isInserted: boolean,
  most: number,
): Stretch | undefined {
  const count = at.last - at.first + 1;
  // What reaches from end to end does so still.
  if (first === 0 && last === most - 1) return { first, last };
  if (isInserted)
    return { first: first >= at.first ? first + count : first, last: last >= at.first ? last + count : last };
  const start = first > at.last ? first - count : Math.min(first, at.first);
  const end = last > at.last ? last - count : Math.min(last, at.first - 1);
  return end < start ? undefined : { first: start, last: end };
}

export function movedZone(zone: Zone, { changeType, shiftDirection, zone: at }: Shift): Zone | undefined {
  const isInserted = changeType.endsWith("Inserted");
  const isAcross = changeType.startsWith("Column") || ["Right", "Left"].includes(shiftDirection);
  // Cells that move leave those beside them where they are.
  const isBeside = isAcross
    ? zone.top < at.top || zone.bottom > at.bottom
    : zone.left < at.left || zone.right > at.right;
  if (changeType.startsWith("Cell") && isBeside) return zone;
  if (isAcross) {
    const { left: first, right: last } = zone;
    const moved = movedStretch({ first, last }, { first: at.left, last: at.right }, isInserted, MAX_COLUMNS);
    return moved && { ...zone, left: moved.first, right: moved.last };
  }
  const { top: first, bottom: last } = zone;
  const moved = movedStretch({ first, last }, { first: at.top, last: at.bottom }, isInserted, MAX_ROWS);
  return moved && { ...zone, top: moved.first, bottom: moved.last };
}

/** Whether a formula is one that was moved along with the rows and columns that it stands in and reads. */
import { fromCol, tokenize } from "@borgar/fx";
import { isSpeltAlike } from "./content";

/** How far a cell was moved. */
export interface Shift {
  readonly down: number;
  readonly across: number;
}

const partsOf = (reference: string): readonly string[] => reference.split(/([A-Z]+|\d+)/i);

/** Whether a reference is that of before, or the same with some of its rows or columns moved along. */
function isMovedReference(now: string, before: string, { down, across }: Shift): boolean {
  const [parts, old] = [partsOf(now), partsOf(before)];
  return (
    parts.length === old.length &&
    parts.every((part, i) => {
      const was = old[i] ?? "";
      if (part === was) return true;
      if (/^\d+$/.test(part) && /^\d+$/.test(was)) return Number(part) === Number(was) + down;
      if (/^[A-Z]+$/i.test(part) && /^[A-Z]+$/i.test(was)) return fromCol(part) === fromCol(was) + across;
      return false;
    })
  );
}

export function isMovedFormula(now: string, before: string, shift: Shift): boolean {
  if (isSpeltAlike(now, before)) return true;
  const [parts, old] = [tokenize(now), tokenize(before)];
  return (
    parts.length === old.length &&
    parts.every(({ type, value }, i) => {
      const was = old[i];
      if (was?.type !== type) return false;
      return value === was.value || (type === "range" && isMovedReference(value, was.value, shift));
    })
  );
}

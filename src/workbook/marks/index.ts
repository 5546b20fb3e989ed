/** What a work says of itself in the workbook before it begins. */
export type { CellStep, Head, Marked, Step, WantedLimit, WorkId } from "./mark";
export { clearMark, clearRemains, idsOf, Mark, marksLeft, works } from "./mark";
export type { OwedCell } from "./owed";
export { owe, owedFor, oweOnly } from "./owed";

/** What a work says of itself in the workbook before it begins. */
export type { Head, Marked, WorkId } from "./mark";
export { clearMark, clearRemains, idsOf, Mark, marksLeft, works } from "./mark";
export type { HeldCells, HeldRun } from "./held-names";
export { heldCells } from "./held-names";
export type { OwedCell } from "./owed";
export { owe, owedFor, oweOnly } from "./owed";
export type { CellStep, Step, WantedLimit } from "./step";

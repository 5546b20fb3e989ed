/** The estimator's own sheets: their calls, their tables, formulas put into them. */
export type { OwnTable } from "../tables";
export type { CallGroup, SheetCalls } from "./list-calls";
export { listCalls } from "./list-calls";
export type { PreviewRow, Proposal, Proposals } from "./propose";
export { formulaIn, freeColumns, previewOf, propose } from "./propose";
export { formulaText, putInSelectedCell, readAddress } from "./put";
export { repairCalls } from "./repair";
export type { Chosen, Understanding, UnderstoodColumn } from "./understand";
export { understand } from "./understand";
export type { WrittenColumns } from "./write-proposals";
export { readOwnTable, writeProposals } from "./write-proposals";

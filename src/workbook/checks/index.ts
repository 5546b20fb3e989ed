/** What is looked for in a workbook, and what was found. */
export type { Finding, Weight } from "./check";
export { weights } from "./check";
export { putOnSheet } from "./list-sheet";
export type { CheckState } from "./live-checks";
export { LiveChecks } from "./live-checks";
export type { SetAside } from "./set-aside";
export { asideOf, placeOfFinding, readSetAside, setAside, takeUp } from "./set-aside";

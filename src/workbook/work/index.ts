/** Works that write into a workbook, one at a time, and how they are taken back. */
export { asWork, oneAtATime, onLeftHalfDone, stepsBack } from "./as-work";
export type { CarriersBack, LeftCell } from "./steps";
export { refuseGuarded, sheetsThere, stepDone } from "./steps";
export type { Unfinished } from "./works-left";
export { leaveWork, unfinishedWorks } from "./works-left";

/** The words of the trade that stand over columns and beside figures, and what is read by them. */
export type { ColumnDraft } from "./columns";
export { resolved, suited, suits, withoutDoubles } from "./columns";
export type { Concept, Meaning } from "./concepts";
export { dimensionsOf, isText, meanings } from "./concepts";
export { argumentsOf, conceptFor, isTaken, rowFunctions } from "./feeds";
export type { OwnColumn, OwnTable } from "./find-table";
export { findingTable } from "./find-table";
export type { At } from "./grid";
export { cellIn, isEmpty } from "./grid";
export type { Candidate, Heading, HeadingRead } from "./headings";
export { asTaken, conceptOf, contradicted, headingRead } from "./headings";
export type { Figure, Layout, Table } from "./layout";
export { layingOut } from "./layout";
export { figureAt, nearestAbout, tableAround } from "./look-up";
export type { Held } from "./rows";
export { nothingHeld } from "./rows";
export type { NamedUnit } from "./spelled-units";
export type { Conversion } from "./units";
export {
  conversionBetween,
  dimensionOf,
  hundredths,
  isUnit,
  perHour,
  plainShare,
  saidOf,
  sizeOf,
  unitsOf,
} from "./units";

/** The words of the trade that stand over columns and beside figures. */
export type { Concept } from "./concepts";
export { conceptOf, isInWords, isUnit, systemIn } from "./concepts";

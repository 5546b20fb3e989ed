/** Formulas that read or call something of another workbook: no one can work them out without it. */
import { callsElsewhere, mayHoldCalls } from "../../calls";

const texts = /"(?:[^"]|"")*"/g;
/** Another workbook stands in brackets before its sheet, as a number in most files; a table's column stands behind its table. */
const inBrackets = /(?<![\w\].\\])\[[^[\]]+\][^\s"'!(),;:[\]]*!|'[^'[]*\[[^'\]]+\](?:[^']|'')*'!/;

/** What is told of a formula that is left for the sake of another workbook; undefined for any other. */
export function whyOutward(formula: string): string | undefined {
  if (!formula.includes("!")) return undefined;
  if (callsElsewhere(formula)) return "Left as it was: it calls a function of another workbook.";
  const refersOutward = formula.includes("[") && inBrackets.test(formula.replace(texts, '""'));
  // One of ours is converted, and reads there what it read before.
  if (!refersOutward || mayHoldCalls(formula)) return undefined;
  return "Left as it was, with the value that it shows: it refers to another workbook.";
}

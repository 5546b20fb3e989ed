/**
 * Formulas that reach out of the workbook: what reads or calls something of another one nobody works out without it, and
 * of what calls more than calculates no function is brought back.
 */
import { callsElsewhere, mayHoldCalls } from "../formulas";
import type { CellNote, Pause, SheetCells } from "../host";
import { eachFormula, shareDown } from "../host";
import { calculates } from "./plain-functions";
import { reachingFunction } from "./trusted";

const texts = /"(?:[^"]|"")*"/g;
/** Another workbook stands in brackets before its sheet, as a number in most files; a table's column stands behind its table. */
const inBrackets = /(?<![\w\].\\])\[[^[\]]+\][^\s"'!(),;:[\]]*!|'[^'[]*\[[^'\]]+\](?:[^']|'')*'!/;

const refersToAnother = (formula: string): boolean =>
  formula.includes("[") && inBrackets.test(formula.replace(texts, '""'));

const referring = "it refers to another workbook.";

const functions = /(?<![\w.])(?:_xlfn\.(?:_xlws\.)?)?[a-z][\w.]*(?=\s*\()/gi;

/** Asked of every formula: reading it as one is for the few that call anything out of the ordinary. */
const callsUnusual = (formula: string): boolean =>
  (formula.replace(texts, '""').match(functions) ?? []).some(
    (name) => !calculates(name) && !/^SWARD\./i.test(name),
  );

/** Why a formula of ours is not brought back, whoever hands it over; undefined for one that is. */
export function whyForGood(formula: string): string | undefined {
  const name = callsUnusual(formula) ? reachingFunction(formula) : undefined;
  if (name !== undefined)
    return `Its function is not brought back: it calls ${name}, which may do more than calculate.`;
  return refersToAnother(formula) ? `Its function is not brought back: ${referring}` : undefined;
}

/** What is told of a formula that is left for the sake of another workbook; undefined for any other. */
function left(formula: string, shown: string): string | undefined {
  if (!formula.includes("!")) return undefined;
  if (callsElsewhere(formula)) return "Left as it was: it calls a function of another workbook.";
  // One of ours is converted, and reads there what it read before.
  if (mayHoldCalls(formula) || !refersToAnother(formula)) return undefined;
  return `Left as it was${shown}: ${referring}`;
}

export const whyOutward = (formula: string): string | undefined =>
  left(formula, ", with the value that it shows");

/** The same of a name, a rule or a table's column, which shows no value. */
export const whyLooseOutward = (formula: string): string | undefined => left(formula, "");

export interface ReachingOut {
  /** Formulas that stay as they are. */
  readonly left: readonly CellNote[];
  /** Calls of ours that are handed over and not brought back. */
  readonly forGood: readonly CellNote[];
}

/** The formulas of a sheet that reach out of the workbook. */
export async function reachingOut(sheet: SheetCells, pause: Pause): Promise<ReachingOut> {
  const left: CellNote[] = [];
  const forGood: CellNote[] = [];
  for (const cell of eachFormula(sheet)) {
    const { address, formula } = cell;
    const [stays, taken] = [whyOutward(formula), mayHoldCalls(formula) ? whyForGood(formula) : undefined];
    if (stays !== undefined) left.push({ sheet: sheet.name, address, formula, note: stays });
    else if (taken !== undefined) forGood.push({ sheet: sheet.name, address, formula, note: taken });
    await pause(shareDown(sheet, cell), 1);
  }
  return { left, forGood };
}

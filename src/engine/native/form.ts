/**
 * The second reading of a formula: a native worksheet formula, in functions that every spreadsheet has had for
 * twenty years, so that a sheet recalculates where the add-in is missing.
 */
import type { Algebra, Computed, Formula, WorksheetFunction } from "../formula";
import { unitsPosition } from "../formula";
import { flatMap, mapValues } from "../lists";
import { ownForms } from "../native-forms";
import { approximationTold } from "../own-form";
import type { Parameter } from "../parameters";
import { isRepeating } from "../parameters";
import type { NativeTerms, Writing } from "./algebra";
import { written } from "./algebra";
import { guards } from "./guards";
import type { NativeArgument, NativeText, Piece } from "./pieces";
import { NoNativeForm, binding, call, isLiteral, leftOut, literal, within } from "./pieces";
import type { Table } from "./tables";
import { table } from "./tables";
import { factorTerm, term } from "./terms";
import { leavesNothing, mayFit, refusedForGood } from "./written-out";

/** The native form of one call. Throws NoNativeForm where there is none. */
export function nativeForm(definition: WorksheetFunction, given: readonly NativeArgument[]): NativeText {
  switch (definition.form) {
    case "formula":
      return formulaText(definition, given, (m, factors, terms) => definition.body(m, factors, ...terms));
    case "computed":
      return approximateText(definition, given);
    case "spilled value":
    case "spilled formula":
    case "each row":
      throw new NoNativeForm(
        `${definition.id} spills over several cells: each of them has a native form of its own.`,
      );
  }
}

function approximateText(definition: Computed, given: readonly NativeArgument[]): NativeText {
  const own = ownForms[definition.id];
  if (own?.form !== "approximation") {
    throw new NoNativeForm(definition.whyNoFormula ?? `${definition.id} has no worksheet formula.`);
  }
  const { parameters } = definition;
  const native = formulaText({ parameters, conversions: own.conversions }, given, (m, factors, terms) =>
    own.body(m, factors, ...terms),
  );
  return { ...native, told: approximationTold(own) };
}

type Writer = (
  m: Algebra<NativeTerms>,
  factors: Readonly<Record<string, NativeTerms["factor"]>>,
  terms: readonly (Piece | Table | NativeArgument | readonly Table[])[],
  notes: Writing,
) => NativeText;

export function formulaText(
  definition: Pick<Formula, "parameters" | "conversions">,
  given: readonly NativeArgument[],
  write: Writer,
): NativeText {
  const { parameters } = definition;
  const argument = (i: number): NativeArgument => given[i] ?? leftOut;
  if (refusedForGood(parameters, given)) return call("NA");
  if (parameters.some((parameter, i) => leavesNothing(parameter, argument(i)))) {
    return literal(0);
  }
  if (!parameters.every((parameter, i) => mayFit(parameter, argument(i)))) {
    return unfilledRow(parameters, given, call("NA"));
  }

  const units = argument(unitsPosition(definition));
  const factors = mapValues(definition.conversions, (factor) => factorTerm(factor, units));
  const terms = parameters.map((parameter, i) =>
    isRepeating(parameter) ? given.slice(i).map(table) : term(parameter, argument(i)),
  );
  const notes: Writing = { dividesByBlank: false };
  const core = write(written(notes), factors, terms, notes);

  const conditions = flatMap(parameters, (parameter, i) =>
    isRepeating(parameter)
      ? flatMap(given.slice(i), (one) => guards(parameter, one))
      : guards(parameter, argument(i)),
  );
  const guarded =
    conditions.length === 0
      ? core
      : call(
          "IF",
          conditions.length === 1 ? (conditions[0] ?? "") : `AND(${conditions.join(",")})`,
          core.text,
          "NA()",
        );
  if (!notes.dividesByBlank && conditions.length === 0) return guarded;
  return unfilledRow(parameters, given, guarded);
}

/** An unfilled row of a bid costs nothing: with nothing to cover the answer is 0, whatever else is blank. */
function unfilledRow(
  parameters: readonly Parameter[],
  given: readonly NativeArgument[],
  core: NativeText,
): NativeText {
  const position = parameters.findIndex(({ blank }) => blank === "nothing to cover");
  const covered = given[position];
  if (position < 0 || covered === undefined || isLiteral(covered)) return core;
  const empty =
    parameters[position]?.takes === "range"
      ? `AND(MAX(${covered.text})=0,MIN(${covered.text})=0)`
      : `${within(covered, binding.joined)}=0`;
  return call("IF", empty, "0", core.text);
}

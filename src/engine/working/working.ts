/**
 * The third reading of a formula: the working, as an estimator would write it on the back of the tag. One named
 * result a line, quantities with their units, rounded for reading only and never in the sum.
 */
import { asHandedOver, checkArguments, coversNothing } from "../arguments";
import { anyCalculator, spilledCells } from "../calculate";
import { innerFunction, rowArguments } from "../columns";
import type {
  Algebra,
  EachRow,
  Formula,
  Result,
  SpillPlace,
  Spilled,
  SpilledFormula,
  WorksheetFunction,
} from "../formula";
import { unitsPosition } from "../formula";
import { flat, mapValues } from "../lists";
import type { Matrix, ParameterValue, RawMatrix } from "../parameters";
import { Refusal } from "../refusal";
import type { Factor, UnitSystem } from "../units";
import type { KindOf, Term, WorkingLine, WorkingTerms } from "./algebra";
import { argumentTerm, written } from "./algebra";
import { quantity } from "./figures";

export interface Working {
  readonly lines: readonly WorkingLine[];
  readonly answer: string;
}

/** Lines of a spill beyond these are counted, not written out. */
const mostCells = 24;

/** One number as an answer: with its unit, or with what it counts. */
function told(
  value: number,
  { kind, counted }: Pick<Result, "kind" | "counted">,
  system: UnitSystem,
): string {
  const answer = quantity(value, kind, system);
  return counted === undefined ? answer : `${answer} ${counted}`;
}

type Writer = (
  m: Algebra<WorkingTerms>,
  factors: Readonly<Record<string, Factor>>,
  terms: readonly (Term | string | Matrix)[],
) => Term;

/** The lines that lead to one value, the value itself last. */
function linesOf(
  definition: Formula | SpilledFormula,
  given: readonly ParameterValue[],
  system: UnitSystem,
  result: Pick<Result, "name" | "kind" | "counted">,
  write: Writer,
): WorkingLine[] {
  const lines: WorkingLine[] = [];
  const { parameters, conversions } = definition;
  const factors = mapValues(conversions, (factor) => factor[system]);
  const kindOf: KindOf = (range) => parameters[given.indexOf(range)]?.kind;
  const terms = parameters.map((parameter, i) => argumentTerm(parameter, given[i] ?? 0, system));
  const answer = write(written(lines, system, kindOf), factors, terms);
  const gives = told(answer.value, result, system);
  const last = lines[lines.length - 1];
  if (definition.form === "formula" && last?.gives === gives && answer.text === gives) {
    // The last step is the result: one line under the result's name is enough.
    return [...lines.slice(0, -1), { ...last, name: result.name }];
  }
  return [...lines, { name: result.name, sum: answer.text === gives ? "" : answer.text, gives }];
}

/** How a spill is called in a line: every answer while they are few, else how many rows. */
function spillAnswer(cells: Spilled, say: (at: SpillPlace) => string): string {
  const [rows, columns] = [cells.length, cells[0]?.length ?? 0];
  if (rows * columns > 6) return `${rows} rows`;
  return flat(spilledCells({ rows, columns }, say)).join(", ");
}

/** One row: the last line of its function's working; nothing where that refuses. */
function rowLine(
  definition: EachRow,
  given: readonly ParameterValue[],
  { row }: SpillPlace,
): Partial<WorkingLine> {
  const [name, columns] = given as readonly [string, readonly RawMatrix[]];
  const inner = innerFunction(definition, name);
  try {
    const { lines } = workingOf(inner, asHandedOver(inner.parameters, rowArguments(inner, columns, row)));
    const last = lines[lines.length - 1];
    return last === undefined ? {} : { sum: last.sum, gives: last.gives };
  } catch (refusal) {
    if (refusal instanceof Refusal) return {};
    throw refusal;
  }
}

function workingOfSpill(definition: WorksheetFunction, raw: readonly unknown[]): Working {
  const cells = anyCalculator(definition)(...raw) as Spilled;
  const given = checkArguments(definition.parameters, raw);
  const system: UnitSystem = given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  const { result } = definition;
  const columnOf = (column: number) => result.columns?.[column] ?? result;
  const say = ({ row, column }: SpillPlace): string => {
    const cell = cells[row]?.[column] ?? "";
    if (cell instanceof Refusal) return cell.sentence;
    return typeof cell === "number" ? told(cell, columnOf(column), system) : cell;
  };
  const shape = { rows: cells.length, columns: cells[0]?.length ?? 0 };
  const answer = spillAnswer(cells, say);
  if (coversNothing(definition.parameters, raw)) {
    return { lines: [{ name: result.name, sum: "nothing to cover", gives: answer }], answer };
  }
  if (definition.form === "spilled value") return { lines: definition.tell(given), answer };
  const lines = spilledCells(shape, (at): readonly WorkingLine[] => {
    if (at.row * shape.columns + at.column >= mostCells) return [];
    if (definition.form !== "spilled formula") {
      const line = { name: `row ${at.row + 1}`, sum: "", gives: say(at) };
      return [definition.form === "each row" ? { ...line, ...rowLine(definition, given, at) } : line];
    }
    if (definition.cellName(at) === "") return [];
    const { kind, counted } = columnOf(at.column);
    const named = { name: definition.cellName(at), kind, ...(counted === undefined ? {} : { counted }) };
    return linesOf(definition, given, system, named, (m, factors, terms) =>
      definition.body(m, factors, at, ...terms),
    );
  });
  return { lines: withoutRepeats(flat(flat(lines))), answer };
}

/** A step that several cells share is shown once. */
const withoutRepeats = (lines: readonly WorkingLine[]): WorkingLine[] =>
  lines.filter(
    ({ name, sum, gives }, i) =>
      lines.findIndex((line) => line.name === name && line.sum === sum && line.gives === gives) === i,
  );

/** The working of one call, step by step. Throws the Refusal where the function would refuse. */
export function workingOf(definition: WorksheetFunction, raw: readonly unknown[]): Working {
  if (definition.form !== "formula" && definition.form !== "computed") return workingOfSpill(definition, raw);
  const { parameters, result } = definition;
  const given = checkArguments(parameters, raw);
  const system: UnitSystem = given[unitsPosition(definition)] === "metric" ? "metric" : "us";
  if (coversNothing(parameters, raw)) {
    const nothing = told(0, result, system);
    return { lines: [{ name: result.name, sum: "nothing to cover", gives: nothing }], answer: nothing };
  }
  if (definition.form === "computed") {
    const answer = definition.compute(given);
    const gives = typeof answer === "number" ? told(answer, result, system) : answer;
    return { lines: [{ name: result.name, sum: definition.equation, gives }], answer: gives };
  }
  definition.inspect?.(given);
  const lines = linesOf(definition, given, system, result, (m, factors, terms) =>
    definition.body(m, factors, ...terms),
  );
  return { lines, answer: lines[lines.length - 1]?.gives ?? "" };
}

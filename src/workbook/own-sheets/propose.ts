/**
 * The functions that a table's columns allow, each with the formula it would write in every row. Nothing here knows a
 * function by name: parameters, kinds and units are the catalogue's.
 */
import type { WorksheetFunction } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { isOptional, unitsParameter } from "../../engine/parameters";
import { Refusal } from "../../engine/refusal";
import type { Fraction, UnitSystem } from "../../engine/units";
import { hasUnits, unitText } from "../../engine/units";
import type { Content, Pieces, Scalar, SheetCells } from "../host";
import { cellAddress } from "../host";
import { answerOf } from "../formulas";
import { formulaText } from "./put";
import { asFormula } from "../writing";
import type { Conversion, NamedUnit, OwnTable } from "../tables";
import {
  argumentsOf,
  cellIn,
  conceptFor,
  conversionBetween,
  dimensionOf,
  isEmpty,
  perHour,
  rowFunctions,
  saidOf,
  sizeOf,
} from "../tables";
import type { UnderstoodColumn, Understanding } from "./understand";

export interface RowArgument {
  readonly parameter: Parameter;
  /** Undefined where an argument is left out. */
  readonly column: UnderstoodColumn | undefined;
  readonly conversion: Conversion;
}

export interface Proposal {
  readonly definition: WorksheetFunction;
  readonly given: readonly RowArgument[];
  readonly system: UnitSystem;
  /** The heading of the new column. */
  readonly heading: string;
  /** What is converted or taken on trust, in sentences. */
  readonly notes: readonly string[];
  /** Set where another proposal reads all these columns and more. */
  readonly covered: boolean;
}

/** A function that the columns would allow, but for one thing. */
export interface NotProposed {
  readonly definition: WorksheetFunction;
  readonly why: string;
}

export interface Proposals {
  readonly proposals: readonly Proposal[];
  readonly notProposed: readonly NotProposed[];
}

const unchanged: Conversion = { text: "", apply: (figure) => figure };

/** Why an argument cannot be given from its column. */
class Unfit extends Error {}

const unitName = (kind: Parameter["kind"], system: UnitSystem): string => unitText(kind, system);

function unfit({ heading }: UnderstoodColumn, unit: NamedUnit, wanted: string): never {
  throw new Unfit(
    `${heading} is in ${saidOf(unit)}, which ${wanted === "" ? "this function does not take" : `cannot be converted here: give it in ${wanted}`}`,
  );
}

function converted(column: UnderstoodColumn, to: Fraction, wanted: string): Conversion {
  const { unit } = column;
  if (unit === undefined) return unchanged;
  return unit.size === null ? unfit(column, unit, wanted) : conversionBetween(unit.size, to);
}

/** Arguments of any unit agree with the first of them that states one. */
function anyBase(given: readonly RowArgument[]): NamedUnit | undefined {
  return given.find(
    ({ parameter, column }) =>
      parameter.kind === "any" && column?.unit !== undefined && column.meaning?.inAnHour !== true,
  )?.column?.unit;
}

function anyConversion(column: UnderstoodColumn, base: NamedUnit | undefined): Conversion {
  const { unit, meaning, heading } = column;
  if (unit === undefined || base === undefined) return unchanged;
  const isHourly = meaning?.inAnHour === true;
  const dimension = isHourly ? `${base.dimension} per time` : base.dimension;
  if (unit.dimension !== dimension) {
    throw new Unfit(`${heading} is in ${saidOf(unit)}, which does not go with ${saidOf(base)}`);
  }
  const wanted = isHourly ? `${base.name} per h` : base.name;
  if (unit.name === wanted) return unchanged;
  if (base.size === null) return unfit(column, unit, wanted);
  return converted(column, isHourly ? perHour(base.size) : base.size, wanted);
}

function conversionFor(
  { parameter, column }: RowArgument,
  base: NamedUnit | undefined,
  system: UnitSystem,
): Conversion {
  if (column === undefined || column.meaning === undefined) return unchanged;
  if (column.unsure === true) throw new Unfit(`it is not clear what ${column.heading} is measured in`);
  const { kind } = parameter;
  if (kind === "any") return anyConversion(column, base);
  const { unit } = column;
  if (unit === undefined) return unchanged;
  const wanted = unitName(kind, system);
  if (kind === "temperature") return unit.system === system ? unchanged : unfit(column, unit, wanted);
  if (unit.dimension !== dimensionOf[kind]) return unfit(column, unit, wanted);
  return converted(column, sizeOf(kind, system), wanted);
}

function noteOn({ parameter, column, conversion }: RowArgument, system: UnitSystem): string | undefined {
  if (column === undefined) return undefined;
  if (conversion.text !== "") {
    const wanted = unitName(parameter.kind, system);
    const from = column.unit === undefined ? "" : saidOf(column.unit);
    return parameter.kind === "share"
      ? `${column.heading} is in per cent: the formula divides it by 100.`
      : `${column.heading} is in ${from}: the formula converts it${wanted === "" ? "" : ` to ${wanted}`} (${conversion.text.replace("*", "× ").replace("/", "÷ ")}).`;
  }
  if (column.unit === undefined && hasUnits(parameter.kind)) {
    return `${column.heading} states no unit: it is taken in ${unitName(parameter.kind, system)}.`;
  }
  return undefined;
}

const headingOf = ({ result }: WorksheetFunction, system: UnitSystem): string => {
  const unit = unitText(result.kind, system);
  const name = result.name.charAt(0).toUpperCase() + result.name.slice(1);
  return unit === "" ? name : `${name} (${unit})`;
};

function proposalOf(
  definition: WorksheetFunction,
  drafted: readonly RowArgument[],
  system: UnitSystem,
): Omit<Proposal, "covered"> {
  const base = anyBase(drafted);
  const given = drafted.map((one) => ({ ...one, conversion: conversionFor(one, base, system) }));
  const notes = given.flatMap((one) => noteOn(one, system) ?? []);
  return { definition, given, system, heading: headingOf(definition, system), notes };
}

const columnsOf = ({ given }: Pick<Proposal, "given">): readonly UnderstoodColumn[] =>
  given.flatMap(({ column }) => column ?? []);

const readsMore = (one: Pick<Proposal, "given">, other: Pick<Proposal, "given">): boolean => {
  const [mine, theirs] = [columnsOf(one), columnsOf(other)];
  return mine.length > theirs.length && theirs.every((column) => mine.includes(column));
};

/** The formula of one row; empty where none of the cells that it would read is filled. */
export function formulaIn({ definition, given, system }: Proposal, table: OwnTable, row: number): string {
  const filled = given.some(
    ({ column }) => column !== undefined && !isEmpty(cellIn(table.cells, row, column.column)),
  );
  if (!filled) return "";
  const texts = given.map(({ column, conversion }) =>
    column === undefined ? "" : cellAddress(row, column.column) + conversion.text,
  );
  const takesUnits = definition.parameters.includes(unitsParameter);
  return formulaText(definition, [...texts, ...(takesUnits && system === "metric" ? ['"metric"'] : [])]);
}

/** The column of the table that holds the proposal's formula already. */
function writtenBefore(proposal: Proposal, { table }: Understanding): string | undefined {
  const [row = 0] = table.rows;
  const formula = formulaIn(proposal, table, row);
  return table.columns.find(({ column }) => cellIn(table.cells, row, column).formula === formula)?.heading;
}

/** With fewer columns than this at hand, a function that lacks one is not worth a word. */
const worthTelling = 2;

export function propose(understanding: Understanding, system: UnitSystem): Proposals {
  const { columns } = understanding;
  const found: Omit<Proposal, "covered">[] = [];
  const notProposed: NotProposed[] = [];
  for (const definition of rowFunctions) {
    const drafted: readonly RowArgument[] = argumentsOf(definition).map((parameter) => ({
      parameter,
      column: columns.find(
        ({ meaning }) => meaning !== undefined && meaning.id === conceptFor(definition, parameter),
      ),
      conversion: unchanged,
    }));
    const missing = drafted.filter(({ parameter, column }) => column === undefined && !isOptional(parameter));
    const [lacking] = missing;
    if (lacking !== undefined) {
      if (missing.length === 1 && columnsOf({ given: drafted }).length >= worthTelling) {
        notProposed.push({ definition, why: `it also needs a column of the ${lacking.parameter.about}` });
      }
      continue;
    }
    try {
      found.push(proposalOf(definition, drafted, system));
    } catch (error) {
      if (!(error instanceof Unfit)) throw error;
      notProposed.push({ definition, why: error.message });
    }
  }
  const proposals: Proposal[] = [];
  for (const one of found) {
    const proposal = { ...one, covered: found.some((other) => readsMore(other, one)) };
    const before = writtenBefore(proposal, understanding);
    if (before === undefined) proposals.push(proposal);
    else notProposed.push({ definition: one.definition, why: `it is in the column ${before} already` });
  }
  return { proposals, notProposed };
}

export type RowResult = { readonly value: number | string } | { readonly refusal: string };

export interface PreviewRow {
  readonly row: number;
  readonly formula: string;
  readonly result: RowResult;
}

function figureIn({ column, conversion }: RowArgument, table: OwnTable, row: number): Scalar {
  if (column === undefined) return null;
  const { value } = cellIn(table.cells, row, column.column);
  // A sum over a blank cell is 0 in the sheet.
  const isBlank = value === null || value === "";
  if (conversion.text !== "" && isBlank) return 0;
  return typeof value === "number" ? conversion.apply(value) : value;
}

function resultIn({ definition, given, system }: Proposal, table: OwnTable, row: number): RowResult {
  const takesUnits = definition.parameters.includes(unitsParameter);
  try {
    const values = given.map((one) => figureIn(one, table, row));
    return { value: answerOf(definition, [...values, ...(takesUnits ? [system] : [])]) };
  } catch (error) {
    if (error instanceof Refusal) return { refusal: error.sentence };
    throw error;
  }
}

/** What the proposal would give in each row that gets a formula, in so many rows at most. */
export const previewOf = (
  proposal: Proposal,
  table: OwnTable,
  most = table.rows.length,
): readonly PreviewRow[] =>
  table.rows.slice(0, most).flatMap((row) => {
    const formula = formulaIn(proposal, table, row);
    return formula === "" ? [] : [{ row, formula, result: resultIn(proposal, table, row) }];
  });

const isFree = (cells: SheetCells, { headingRow, bottom }: OwnTable, column: number): boolean => {
  for (let row = headingRow; row <= bottom; row++) if (!isEmpty(cellIn(cells, row, column))) return false;
  return true;
};

/** The first of so many free columns side by side, to the right of the table. */
export function freeColumns(table: OwnTable, many: number): number {
  let first = table.right + 1;
  for (let column = first; column < first + many; column++) {
    if (!isFree(table.cells, table, column)) first = column + 1;
  }
  return first;
}

/** What the new columns hold, from the row of headings down; empty text where nothing is written. */
export function* columnsToWrite(
  proposals: readonly Proposal[],
  table: OwnTable,
): Pieces<readonly (readonly Content[])[]> {
  const rows = new Set(table.rows);
  const last = table.rows[table.rows.length - 1] ?? table.headingRow;
  const lines: Content[][] = [proposals.map(({ heading }) => heading)];
  for (let row = table.headingRow + 1; row <= last; row++) {
    if (row % rowsAtATime === 0) yield row / last;
    lines.push(
      proposals.map((proposal) => {
        const text = rows.has(row) ? formulaIn(proposal, table, row) : "";
        return text === "" ? "" : asFormula(text);
      }),
    );
  }
  return lines;
}

/** Rows that are written between two pauses. */
const rowsAtATime = 20;

/** What a check sees of a workbook: cells, calls with what they are given, rows of tables, figures with their labels. */
import type { WorksheetFunction } from "../../engine/formula";
import type { Parameter } from "../../engine/parameters";
import { isRepeating } from "../../engine/parameters";
import type { UnitSystem } from "../../engine/units";
import type { Value } from "../formulas";
import type { Scalar } from "../host";
import type { At, NamedUnit, Table } from "../tables";
import type { ArgumentShape, FormulaShape, ReferenceShape } from "./shapes";
import type { SurveyedSheet } from "./survey";
import { addressOf } from "./survey";

/** A cell as a check saw it. */
export class SeenCell implements At {
  readonly formula: string;
  readonly value: Scalar;
  readonly isText: true | undefined;
  readonly shape: FormulaShape | undefined;

  constructor(
    readonly sheet: SurveyedSheet,
    readonly row: number,
    readonly column: number,
  ) {
    const { formula, value, isText, shape } = sheet.get({ row, column });
    this.formula = formula;
    this.value = value;
    this.isText = isText;
    this.shape = shape;
  }

  /** Spelt when it is told: most cells never are. */
  get address(): string {
    return addressOf(this);
  }
}

export interface SeenArgument {
  readonly shape: ArgumentShape;
  /** Undefined where only the spreadsheet can work it out. */
  readonly value: Value | undefined;
  /** The cell that it is, if it is one cell. */
  readonly cell: SeenCell | undefined;
  /** The cells that it is made from. */
  readonly references: readonly ReferenceShape[];
}

export interface SeenCall {
  readonly id: string;
  readonly definition: WorksheetFunction;
  readonly cell: SeenCell;
  readonly system: UnitSystem;
  readonly given: readonly SeenArgument[];
}

/** One row of a table, its cells by what their heads say. */
export interface SeenRow extends At {
  readonly sheet: SurveyedSheet;
  readonly table: Table;
}

/** A cell with the head or label that says what it is. */
export interface Labelled {
  readonly cell: SeenCell;
  readonly label: string;
  readonly system: UnitSystem | undefined;
  /** Given where the head or the label states one. */
  readonly unit?: NamedUnit | undefined;
  /** Set where the head says it loosely. */
  readonly isLoose?: true | undefined;
}

export const isTyped = ({ shape }: Pick<SeenCell, "shape">): boolean => shape === undefined;

/** The number in a cell; a blank, a text and an error are none. */
export const numberIn = (cell: Pick<SeenCell, "value"> | undefined): number | undefined =>
  typeof cell?.value === "number" && Number.isFinite(cell.value) ? cell.value : undefined;

export const textIn = (cell: Pick<SeenCell, "value"> | undefined): string =>
  typeof cell?.value === "string" && !cell.value.startsWith("#") ? cell.value.trim() : "";

export const isNothing = ({ value }: Pick<SeenCell, "value">): boolean =>
  value === null || value === "" || value === 0;

export const numberGiven = ({ value }: Pick<SeenArgument, "value">): number | undefined =>
  typeof value === "number" && Number.isFinite(value) ? value : undefined;

export const parameterAt = ({ parameters }: WorksheetFunction, i: number): Parameter | undefined => {
  const last = parameters[parameters.length - 1];
  return parameters[i] ?? (last !== undefined && isRepeating(last) ? last : undefined);
};

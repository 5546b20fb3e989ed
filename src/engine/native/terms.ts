/** Arguments as the terms of the algebra, with what stands in for a blank. */
import type { NumberParameter, Parameter, RangeParameter } from "../parameters";
import type { Conversion } from "../units";
import type { NativeTerms } from "./algebra";
import type { NativeArgument, Piece } from "./pieces";
import { binding, call, literal, piece, quotedText } from "./pieces";
import type { Table } from "./tables";
import { table } from "./tables";

/** A value with what stands in for a blank or a zero. */
export function orDefault(
  { text, binding: tight, literal: value }: NativeArgument,
  standIn: number | undefined,
): Piece {
  if (standIn !== undefined) {
    if (text === "" || value === 0) return literal(standIn);
    if (value === undefined && standIn !== 0) return call("IF", `${text}=0`, String(standIn), text);
  }
  if (text === "") return literal(0);
  return typeof value === "number"
    ? { text, binding: tight, literal: value, mayBeBlank: value === 0 }
    : piece(text, tight, standIn === undefined);
}

const numberTerm = (parameter: NumberParameter, argument: NativeArgument): Piece =>
  orDefault(argument, parameter.default);

/** The text, with the default where its cell is blank. */
const textTerm = (standIn: string | undefined, argument: NativeArgument): NativeArgument =>
  standIn === undefined || typeof argument.literal === "string"
    ? argument
    : argument.text === "" || argument.literal === 0
      ? { text: quotedText(standIn), binding: binding.whole, literal: standIn }
      : { ...argument, text: `IF(${blankText(argument)},${quotedText(standIn)},${argument.text})` };

/** Whether a text is blank: a cell that refers to a blank one is worked out as 0. */
const blankText = ({ text, computed }: NativeArgument): string =>
  computed === true ? `OR(${text}="",${text}=0)` : `${text}=""`;

/** The factor between units: one number, or a choice where the unit system stands in a cell. */
export function factorTerm({ us, metric }: Conversion, units: NativeArgument): NativeTerms["factor"] {
  const { operation } = us;
  const system = typeof units.literal === "string" ? units.literal.toLowerCase() : undefined;
  const asUs = metric.operation === operation ? metric.by : 1 / metric.by;
  const one = (by: number): NativeTerms["factor"] => ({ operation, by: by === 1 ? 1 : literal(by) });
  if (units.text === "" || system === "us") return one(us.by);
  if (system === "metric") return one(asUs);
  return us.by === asUs
    ? one(us.by)
    : { operation, by: call("IF", `${units.text}="metric"`, String(asUs), String(us.by)) };
}

const rangeTerm = (parameter: RangeParameter, argument: NativeArgument): Table =>
  argument.text === "" && parameter.default !== undefined
    ? { sort: "written", text: String(parameter.default), rows: [[String(parameter.default)]] }
    : table(argument);

export const term = (parameter: Parameter, argument: NativeArgument): Piece | Table | NativeArgument => {
  switch (parameter.takes) {
    case "number":
      return numberTerm(parameter, argument);
    case "range":
      return rangeTerm(parameter, argument);
    case "text":
      return parameter.id === "units" ? argument : textTerm(parameter.default, argument);
    default:
      return argument;
  }
};

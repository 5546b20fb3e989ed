/** The conditions that a native form asks of arguments which no limit on an input cell watches over. */
import type { EndZeros, Limits, Parameter, RangeParameter } from "../parameters";
import type { NativeArgument } from "./pieces";
import { binding, within } from "./pieces";
import type { Table } from "./tables";
import { extentOfTable, firstCell, lastCell, slice, sliceOfSeries, table } from "./tables";
import { parseA1Ref } from "@borgar/fx";

/** The limits that are not already known to hold. */
function unknownLimits(limits: Limits, known: Limits = {}): Limits {
  const { above, least, below, most, whole } = limits;
  const floor = known.least ?? known.above ?? Number.NEGATIVE_INFINITY;
  const ceiling = known.most ?? known.below ?? Number.POSITIVE_INFINITY;
  return {
    ...(above !== undefined && above >= floor ? { above } : {}),
    ...(least !== undefined && least > floor ? { least } : {}),
    ...(below !== undefined && below <= ceiling ? { below } : {}),
    ...(most !== undefined && most < ceiling ? { most } : {}),
    ...(whole === true ? { whole } : {}),
  };
}

/** Whether a number passes its limits, as a condition in a cell; empty where there is nothing to watch. */
export function limitConditions(text: string, limits: Limits): readonly string[] {
  const { above, least, below, most, whole } = limits;
  return [
    above === undefined ? "" : `${text}>${above}`,
    least === undefined ? "" : `${text}>=${least}`,
    below === undefined ? "" : `${text}<${below}`,
    most === undefined ? "" : `${text}<=${most}`,
    whole === true ? `INT(${text})=${text}` : "",
  ].filter((condition) => condition !== "");
}

/** The conditions under which a computed argument is one that the function accepts. */
export function guards(parameter: Parameter, argument: NativeArgument): readonly string[] {
  const gaps = parameter.takes === "range" ? gapGuards(parameter, argument) : [];
  if (argument.computed !== true) return gaps;
  const { text } = argument;
  if (parameter.takes === "text") {
    if (parameter.tabulated === true) return [];
    if (parameter.choices === undefined) return [`ISTEXT(${text})`];
    const choices = [...parameter.choices, ""].map((choice) => `${text}="${choice}"`);
    // A reference to a blank cell is worked out as 0.
    return [`OR(${[...choices, `${text}=0`].join(",")})`];
  }
  if (parameter.takes === "number") {
    const loose = within(argument, binding.joined);
    const { above, ...others } = parameter;
    const asked = (limits: Limits) => limitConditions(loose, unknownLimits(limits, argument.bounds));
    if (above === undefined) return asked(others);
    // A computed 0 stands for a blank where the parameter has a default, as the function reads it.
    return asked(parameter.blank === "default" ? { ...others, least: above } : parameter);
  }
  return [...gaps, ...rangeGuards(parameter, text)];
}

const isRange = (text: string): boolean => parseA1Ref(text, { allowNamed: true }) !== undefined;

/** No cell of a computed range may lie outside its limits. */
function rangeGuards(parameter: Parameter, text: string): readonly string[] {
  if (!isRange(text) || parameter.takes === "text") return [];
  const { above, ...others } = parameter;
  const { least, below, most } = others;
  // Zero stands for a blank where the cells have a default or nothing but more than 0 can be meant.
  const lenient = above !== undefined && (parameter.blank === "default" || above === 0);
  const floor = lenient ? { least: above } : { above, least };
  const { rows, columns } = extentOfTable(table({ text, binding: binding.whole })) ?? {};
  if (rows === 1 && columns === 1)
    return limitConditions(text, unknownLimits(lenient ? { ...others, least: above } : parameter));
  const outside = [
    floor.above === undefined ? "" : `"<=${floor.above}"`,
    floor.least === undefined ? "" : `"<${floor.least}"`,
    below === undefined ? "" : `">=${below}"`,
    most === undefined ? "" : `">${most}"`,
  ];
  return outside
    .filter((condition) => condition !== "")
    .map((condition) => `COUNTIF(${text},${condition})=0`);
}

/**
 * What is measured in order may end in blanks, but a gap in it is refused, and so is too short a list and one that ends
 * in zeros.
 */
function gapGuards(parameter: RangeParameter, argument: NativeArgument): readonly string[] {
  const from = table(argument);
  const { columns, leastRows = 1, endZeros } = parameter;
  if (from.sort === "written" || (columns === undefined && parameter.series !== true)) return [];
  const [here, next] =
    columns === undefined
      ? [sliceOfSeries(from, 0, 1), sliceOfSeries(from, 1, 0)]
      : [slice(from, 0, 0, 1), slice(from, 0, 1, 0)];
  const column = (i: number) => slice(from, i, 0, 0);
  return [
    ...(extentOfTable(from)?.rows === 1 && columns !== undefined
      ? []
      : [`SUMPRODUCT((${here}="")*(${next}<>""))=0`]),
    ...(columns === undefined ? [] : [`SUMPRODUCT(((${column(0)}="")<>(${column(1)}=""))*1)=0`]),
    `COUNT(${columns === undefined ? from.text : column(0)})>=${leastRows}`,
    ...(endZeros === undefined
      ? []
      : columns === undefined
        ? endOfSeries(from, endZeros)
        : endOfOutline(from, leastRows)),
  ];
}

/** The last of a series is no 0, or the last but one is none where one 0 may end it. */
function endOfSeries({ text }: Table, { most }: EndZeros): readonly string[] {
  const last = `INDEX(${text},COUNT(${text}))`;
  if (most === 0) return [`${last}<>0`];
  return [`OR(${last}<>0,INDEX(${text},MAX(1,COUNT(${text})-1))<>0)`];
}

/** The last corner is not at 0, 0 unless the first is, and enough others are not. */
function endOfOutline(from: Table, leastRows: number): readonly string[] {
  const size = (cell: (column: number) => string) => `ABS(${cell(0)})+ABS(${cell(1)})`;
  const atZero = [0, 1].map((column) => `(${slice(from, column, 0, 0)}=0)`).join("*");
  return [
    `OR(${size((column) => firstCell(from, column))}=0,${size((column) => lastCell(from, column))}>0)`,
    `SUMPRODUCT(1-${atZero})>=${leastRows - 1}`,
  ];
}

import type { EndZeros, RangeParameter } from "../parameters";

/** Lengths measured one after the other along a line or round a centre. */
export const lengthsInOrder = <const I extends string>(
  id: I,
  about: string,
  leastRows: number,
  endZeros: EndZeros,
) =>
  ({
    takes: "range",
    id,
    kind: "any",
    about,
    blank: "nothing to cover",
    least: 0,
    series: true,
    leastRows,
    endZeros,
  }) as const satisfies RangeParameter;

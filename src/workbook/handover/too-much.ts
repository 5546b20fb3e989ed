/** Formulas that are not even tried: writing them out could take without end. */

/** The longest formula that a cell takes, and that a validation takes. */
export const longest = { cell: 8192, validation: 255 } as const;

/** Each call inside another doubles what has to be written out. */
const deepestCalls = 8;

/** How many calls of ours stand inside one another; counted without reading the formula as one. */
export function callDepth(formula: string): number {
  const ours: boolean[] = [];
  let depth = 0;
  let deepest = 0;
  for (const [piece] of formula.matchAll(/"(?:[^"]|"")*"|\bSWARD\.\w+\s*\(|\(|\)/gi)) {
    if (piece === ")") {
      if (ours.pop() === true) depth--;
    } else if (piece.endsWith("(")) {
      const isOurs = piece.length > 1;
      ours.push(isOurs);
      if (isOurs) deepest = Math.max(deepest, ++depth);
    }
  }
  return deepest;
}

/** Why a formula is not even tried: none that Excel takes is as long, and none that a person wrote is as deep. */
export function tooMuch(formula: string): string | undefined {
  if (formula.length > longest.cell)
    return "The formula is longer than Excel takes: split it over several cells, then hand over.";
  if (callDepth(formula) > deepestCalls)
    return `The formula has more than ${deepestCalls} of our functions inside one another: split it over several cells, then hand over.`;
  return undefined;
}

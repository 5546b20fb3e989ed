import type { Computed, EachRow, Formula } from "../formula";

/** A refused row shows its own refusal. */
export const eachRow = (functions: readonly (Formula | Computed)[]): EachRow => ({
  form: "each row",
  functions,
  id: "EACH_ROW",
  step: "order",
  sentence:
    "A function that gives one value, down its rows in a single call: one answer a row, in its own unit.",
  equation: "the function once a row",
  result: { name: "answer of each row", kind: "any", mayBeNegative: true },
  parameters: [
    {
      takes: "text",
      id: "function",
      kind: "text",
      about: "name of the function",
      blank: "refused",
      enter: 'as text such as "SEED_WEIGHT"',
    },
    {
      takes: "columns",
      id: "arguments",
      kind: "any",
      about: "arguments of the function, in its order, each one value or a column of the same height",
      blank: "default",
    },
  ],
  sources: [{ title: "The sources are those of the function", publisher: "common practice" }],
  example: {
    given: ["SEED_WEIGHT", [[4000], [2500]], 7, [[0.85], [0.8]]],
    gives: 32.94,
    spills: [[32.94], [21.875]],
    story: "two lawns at 7 lb per 1000 ft² from lots with 85 % and 80 % pure live seed",
  },
});

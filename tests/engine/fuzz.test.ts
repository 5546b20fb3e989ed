import fc from "fast-check";
import { expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";
import { Refusal } from "../../src/engine/refusal";
import { strangeArguments } from "../support/arguments";

const lists = 100_000;

/** What is wrong with an answer; empty for a finite number, a text, a rectangle of those and refusals. */
function trouble(answer: unknown): string {
  if (typeof answer === "string") return "";
  if (typeof answer === "number") return Number.isFinite(answer) ? "" : `the number ${answer}`;
  if (answer instanceof Refusal)
    return answer.sentence.endsWith(".") && answer.sentence.length > 20 ? "" : "a refusal without a sentence";
  if (!Array.isArray(answer)) return typeof answer;
  const rows = answer as unknown[][];
  if (rows.length === 0 || rows.some((row) => row.length === 0 || row.length !== rows[0]?.length))
    return "a ragged spill";
  return (
    rows
      .flat()
      .map(trouble)
      .find((one) => one !== "") ?? ""
  );
}

test(`${lists.toLocaleString("en-US")} strange argument lists give an answer or a sentence`, () => {
  let answered = 0;
  let refused = 0;
  const troubles: string[] = [];
  const each = Math.ceil(lists / catalogue.length);
  catalogue.forEach((definition, i) => {
    const calculate = anyCalculator(definition);
    for (const given of fc.sample(strangeArguments(definition), { numRuns: each, seed: 500 + i })) {
      let answer: unknown;
      try {
        answer = calculate(...given);
        answered += 1;
      } catch (refusal) {
        if (!(refusal instanceof Refusal)) {
          troubles.push(`${definition.id} ${JSON.stringify(given)} throws ${String(refusal)}`);
          continue;
        }
        answer = refusal;
        refused += 1;
      }
      const what = trouble(answer);
      if (what !== "") troubles.push(`${definition.id} ${JSON.stringify(given)} gives ${what}`);
    }
  });
  console.log(`${answered} answered, ${refused} refused`);
  expect(troubles.slice(0, 10)).toEqual([]);
  expect(answered + refused).toBeGreaterThanOrEqual(lists);
  // A fuzz that never gets past the checks, or is never refused, would prove nothing.
  expect(Math.min(answered, refused)).toBeGreaterThan(lists / 10);
});

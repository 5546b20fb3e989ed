/** What the working writes is right as it is written: another calculator makes of each line what the line gives. */
import fc from "fast-check";
import { evaluate } from "mathjs";
import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { catalogue } from "../../src/engine/catalogue";
import { Refusal } from "../../src/engine/refusal";
import type { WorkingLine } from "../../src/engine/working/algebra";
import { workingOf } from "../../src/engine/working/working";
import { argumentsOf } from "../support/arguments";

/** A sum without the units of its quantities, as mathjs reads it; nothing where it is told in words. */
function expression(sum: string): string | undefined {
  const plain = sum
    .replace(/(?<=\d),(?=\d{3})/g, "")
    .replace(/(?<=\d) (?!%)[a-z][^+−×÷()]*/gi, " ")
    .replace(/(\d[\d.]*) %/g, "($1 / 100)")
    .replaceAll("²", "^2")
    .replaceAll("−", "-")
    .replaceAll("×", "*")
    .replaceAll("÷", "/")
    .replaceAll("π", "pi")
    .replaceAll("√", "sqrt")
    .replaceAll("arctan", "atan")
    .replaceAll("arccos", "acos");
  return /^(?:[\d.\s+*/^()-]|pi|sqrt|sin|cos|tan|asin|acos|atan)+$/.test(plain) ? plain : undefined;
}

const read = (gives: string): number =>
  Number(/^-?[\d.,]+/.exec(gives)?.[0].replaceAll(",", "")) / (gives.includes("%") ? 100 : 1);

/** Rounded for reading to four figures, or to one decimal from a thousand up. */
const rounding = 5.1e-4;

/** Whether the line could be worked out. */
function addsUp({ name, sum, gives }: WorkingLine, within: number): boolean {
  const text = sum === "" ? undefined : expression(sum);
  if (text === undefined) return false;
  const [value, wanted] = [Number(evaluate(text)), read(gives)];
  expect(Math.abs(value - wanted), `${name}: ${sum} = ${gives}`).toBeLessThanOrEqual(
    Math.max(within * Math.abs(wanted), 1e-12),
  );
  return true;
}

describe("a working adds up as it is written", () => {
  test("in every line of every example", () => {
    const told = catalogue.flatMap((definition) => {
      const given = asHandedOver(definition.parameters, definition.example.given);
      // Earlier lines are taken up as they are shown, each rounded.
      return workingOf(definition, given).lines.filter((line) => addsUp(line, 4 * rounding));
    });
    expect(told.length).toBeGreaterThan(30);
  });

  test("in the first line of what else may be given", () => {
    let told = 0;
    for (const [i, definition] of catalogue.entries())
      for (const given of fc.sample(argumentsOf(definition), { numRuns: 60, seed: 500 + i })) {
        try {
          const [first] = workingOf(definition, given).lines;
          if (first !== undefined && addsUp(first, rounding)) told++;
        } catch (refusal) {
          if (!(refusal instanceof Refusal)) throw refusal;
        }
      }
    expect(told).toBeGreaterThan(400);
  });

  test.each([
    ["five offsets by Simpson's rule", [[[0], [3], [4], [3], [0]], 2, "simpson"], 1],
    ["four, of which the last strip is a trapezoid", [[[1], [3], [4], [2]], 2, "simpson"], 1],
    ["six", [[[1], [3], [4], [2], [5], [7]], 3, "simpson"], 1],
  ] as const)("for %s", (_, given, many) => {
    const definition = catalogue.find(({ id }) => id === "OFFSET_AREA");
    if (definition === undefined) throw new Error("no OFFSET_AREA");
    const { lines } = workingOf(definition, asHandedOver(definition.parameters, given));
    expect(lines.filter((line) => addsUp(line, rounding))).toHaveLength(many);
  });
});

import { describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";
import { givesOneValue } from "../../src/engine/formula";
import { decimalsOf } from "../support/printed";

const spilling = catalogue.filter((definition) => !givesOneValue(definition));

describe("the worked example beside each function", () => {
  test.each(catalogue.map((definition) => [definition.id, definition] as const))("%s", (_id, definition) => {
    const { parameters, example } = definition;
    const answer = anyCalculator(definition)(...asHandedOver(parameters, example.given));
    const first = Array.isArray(answer) ? (answer as unknown[][])[0]?.[0] : answer;
    if (typeof example.gives === "string") expect(first).toBe(example.gives);
    else expect(first).toBeCloseTo(example.gives, decimalsOf(example.gives));
  });

  test.each(spilling.map((definition) => [definition.id, definition] as const))(
    "%s in full",
    (_id, definition) => {
      const { parameters, example } = definition;
      const answer = anyCalculator(definition)(...asHandedOver(parameters, example.given)) as number[][];
      expect(answer.map((row) => row.length)).toEqual(example.spills?.map((row) => row.length));
      example.spills?.flat().forEach((printed, i) => {
        expect(answer.flat()[i]).toBeCloseTo(printed, decimalsOf(printed));
      });
    },
  );
});

import { describe, expect, test } from "vitest";
import { calculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";

describe("the worked example beside each function", () => {
  test.each(catalogue.map((definition) => [definition.id, definition] as const))("%s", (_id, definition) => {
    const { given, gives } = definition.example;
    const answer = calculator(definition)(...given);
    if (typeof gives === "string") expect(answer).toBe(gives);
    else expect(answer).toBeCloseTo(gives, decimals(gives));
  });
});

/** The example is printed to so many decimals and is right to half of the last. */
const decimals = (printed: number): number => String(printed).split(".")[1]?.length ?? 6;

import { beforeAll, describe, expect, test } from "vitest";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import { asHandedOver } from "../../src/engine/arguments";
import { worksheetFunction } from "../../src/functions/worksheet-function";
import { HostError, installCustomFunctions } from "../support/custom-functions";

beforeAll(installCustomFunctions);

function called(name: string, ...given: readonly unknown[]): unknown {
  const definition = functionNamed(name);
  if (definition === undefined) throw new Error(`${name} is not in the catalogue`);
  return worksheetFunction(definition)(...given);
}

function errorOf(act: () => unknown): HostError {
  try {
    act();
  } catch (error) {
    if (error instanceof HostError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("a refusal", () => {
  test("reaches the cell as #VALUE! with its sentence", () => {
    const { code, message } = errorOf(() => called("SEED_WEIGHT", 4000, -7));
    expect(code).toBe("#VALUE!");
    expect(message).toBe(
      "rate is -7: enter the seeding rate in lb per 1000 ft² (metric: g per m²), above 0.",
    );
  });

  test("of a row that a table does not have is #N/A and names the rows that it has", () => {
    const { code, message } = errorOf(() => called("SEED_RATE", "bahiagrass", "new"));
    expect(code).toBe("#N/A");
    expect(message).toContain('"Kentucky bluegrass"');
    expect(message).toContain('"creeping bentgrass"');
  });

  test("in one row of a column spoils no other row", () => {
    const answer = called("EACH_ROW", "SEED_WEIGHT", [
      [[1000], [1000], [1000]],
      [[7], ["seven"], [7]],
    ]);
    expect(answer).toEqual([
      [7],
      [new HostError("#VALUE!", expect.stringContaining("seven") as string)],
      [7],
    ]);
  });

  test("of a whole column says what does not fit", () => {
    const { message } = errorOf(() =>
      called("EACH_ROW", "SEED_WEIGHT", [
        [[1], [2], [3]],
        [[7], [7]],
      ]),
    );
    expect(message).toBe(
      "rate of SEED_WEIGHT has 2 rows where another argument has 3: enter one value or a column of the same height.",
    );
  });
});

describe("the host's own last argument", () => {
  const invocation = { address: "Sheet1!A1", functionName: "ANY" };
  const callable = catalogue.filter(({ id }) => id !== "EACH_ROW");

  test.each(callable.map((definition) => [definition.id, definition] as const))(
    "is not read by %s",
    (_id, definition) => {
      const given = asHandedOver(definition.parameters, definition.example.given);
      const full = Array.from({ length: definition.parameters.length }, (_, i) => given[i]);
      const run = worksheetFunction(definition);
      expect(run(...full, invocation)).toEqual(run(...full));
    },
  );
});

test("a column of ten thousand rows equals ten thousand calls", () => {
  const rows = Array.from({ length: 10_000 }, (_, i) => i);
  const areas = rows.map((i) => [1000 + i]);
  const shares = rows.map((i) => [0.5 + (i % 50) / 100]);
  expect(called("EACH_ROW", "SEED_WEIGHT", [areas, [[7]], shares])).toEqual(
    rows.map((i) => [called("SEED_WEIGHT", 1000 + i, 7, shares[i]?.[0])]),
  );
});

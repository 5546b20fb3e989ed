import { readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { parse } from "acorn";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { catalogue, functionNamed } from "../../src/engine/catalogue";
import type { PublishedCase } from "../published/published";
import { publishedSources } from "../published/sources";
import { functionsAsBuilt, PlainEngine } from "../support/plain-engine";
import { decimalsOf } from "../support/printed";

const { functions } = JSON.parse(
  readFileSync(new URL("../../src/functions/functions.json", import.meta.url), "utf8"),
) as { functions: readonly { id: string }[] };
const ids = functions.map(({ id }) => id);

test("the functions as built are in the language of ES2015", () => {
  const parsed = () => parse(functionsAsBuilt(), { ecmaVersion: 2015, sourceType: "script" });
  expect(parsed).not.toThrow();
});

test("the functions as built are small enough to be fetched with the workbook", () => {
  expect(gzipSync(functionsAsBuilt(), { level: 9 }).length).toBeLessThan(34_000);
});

describe("in an engine that has ES2015 and nothing else", () => {
  let engine: PlainEngine;
  beforeAll(async () => {
    engine = await PlainEngine.start();
  });
  afterAll(() => engine.stop());

  test.each([
    "typeof Intl",
    "typeof BigInt",
    "typeof globalThis",
    "typeof TextEncoder",
    "typeof URL",
    "typeof console",
    "typeof setTimeout",
    "typeof performance",
    "typeof Object.entries",
    "typeof [].flat",
    "typeof ''.padStart",
    "typeof (1).toLocaleString",
  ])("%s is undefined", (what) => {
    expect(engine.run(what)).toBe("undefined");
  });

  test("every function registers", () => {
    expect([...engine.registered()].sort()).toEqual([...ids].sort());
  });

  const cases = publishedSources.flatMap((source) => source.cases);

  test.each(ids.map((id) => [id, cases.filter((one) => one.function === id)] as const))(
    "%s gives what is published",
    (id, published) => {
      for (const one of published) expectPrinted(engine, id, one);
    },
  );

  test.each(catalogue.map((definition) => [definition.id, definition] as const))(
    "%s gives its example",
    (id, { parameters, example }) => {
      const { answer } = engine.call(id, asHandedOver(parameters, example.given));
      const first: unknown = Array.isArray(answer) ? (answer as unknown[][])[0]?.[0] : answer;
      if (typeof example.gives === "string") expect(first).toBe(example.gives);
      else expect(first).toBeCloseTo(example.gives, decimalsOf(example.gives));
    },
  );

  test("a refusal is the host's own error with its sentence", () => {
    expect(engine.call("SEED_WEIGHT", [4000, -7]).refused).toEqual({
      own: true,
      code: "#VALUE!",
      message: "rate is -7: enter the seeding rate in lb per 1000 ft² (metric: g per m²), above 0.",
    });
    expect(engine.call("SEED_RATE", ["bahiagrass", "new"]).refused).toMatchObject({
      own: true,
      code: "#N/A",
    });
  });

  test("a refused row of a column is the host's own error in its place", () => {
    const columns = [
      [[1000], [1000]],
      [[7], ["seven"]],
    ];
    expect(engine.call("EACH_ROW", ["SEED_WEIGHT", columns]).answer).toEqual([
      [7],
      [{ code: "#VALUE!", message: expect.stringContaining("seven") as string }],
    ]);
  });
});

function expectPrinted(
  engine: PlainEngine,
  id: string,
  { given, printed, within, cell }: PublishedCase,
): void {
  const { answer } = engine.call(id, asHandedOver(functionNamed(id)?.parameters ?? [], given));
  const number = Number(cell === undefined ? answer : (answer as number[][])[cell[0]]?.[cell[1]]);
  expect(Math.abs(number - printed), JSON.stringify(given)).toBeLessThanOrEqual(
    within + Math.abs(printed) * 1e-12,
  );
}

test("a function that the host does not take costs no other", async () => {
  const engine = await PlainEngine.start({ refused: "SEED_WEIGHT" });
  expect([...engine.registered()].sort()).toEqual(ids.filter((id) => id !== "SEED_WEIGHT").sort());
  engine.stop();
});

describe("where the host has no errors with sentences", () => {
  let engine: PlainEngine;
  beforeAll(async () => {
    engine = await PlainEngine.start({ withErrors: false });
  });
  afterAll(() => engine.stop());

  test("every function registers and calculates", () => {
    expect(engine.registered()).toHaveLength(ids.length);
    expect(engine.call("SEED_WEIGHT", [4000, 7])).toEqual({ answer: 28 });
  });

  test.each([
    ["SEED_WEIGHT", [4000, -7]],
    ["SEED_RATE", ["bahiagrass", "new"]],
    [
      "EACH_ROW",
      [
        "SEED_WEIGHT",
        [
          [[1000], [1000]],
          [[7], ["seven"]],
        ],
      ],
    ],
  ])("%s refuses with a plain error", (id, given) => {
    const { refused } = engine.call(id, given);
    expect(refused).toMatchObject({ own: false });
    expect(refused?.message).toContain(": enter ");
  });
});

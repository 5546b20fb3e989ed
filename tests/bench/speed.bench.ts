/** A call through the wrapper against the same sum inlined, in one run: the goal is a fifth of the inlined speed. A row of EACH_ROW is to cost no more than five calls. */
import vm from "node:vm";
import { bench, describe } from "vitest";
import { builtFile } from "../support/built-workbench";

type BuiltFunction = (...given: readonly unknown[]) => unknown;

/** The functions as a host runs them: the built script, which no test runner has rewritten. */
const built = new Map<string, BuiltFunction>();
Object.assign(globalThis, {
  CustomFunctions: { associate: (id: string, call: BuiltFunction) => built.set(id, call) },
});
vm.runInThisContext(builtFile("functions.js"));

const through = (name: string): BuiltFunction => {
  const found = built.get(name);
  if (found === undefined) throw new Error(`${name} is not among the built functions`);
  return found;
};

const calls = 10_000;
const areas = Array.from({ length: calls }, (_, i) => 1000 + (i % 977));
const nearly = (value: number): number => Math.ceil(Math.round(value * 1e9) / 1e9);

const cases: readonly (readonly [
  name: string,
  given: readonly number[],
  inlined: (area: number) => number,
])[] = [
  ["SEED_WEIGHT", [7, 0.85], (area) => (area * 7) / 1000 / 0.85],
  ["FERTILISER_WEIGHT", [1, 0.24], (area) => (area * 1) / 1000 / 0.24],
  ["TOPDRESS_BAGS", [0.25, 3, 0.2], (area) => nearly((area * 0.25) / 12 / (3 * (1 - 0.2)))],
  ["LABEL_DOSE", [8], (area) => (area * 8) / 43_560],
  ["WATER_VOLUME", [0.25], (area) => (area * 0.25 * 144) / 231],
];

/** Results go somewhere, or the work could be left out. */
const kept = { total: 0 };

for (const [name, given, inlined] of cases) {
  describe(`${name}, ${calls} calls`, () => {
    const calculate = through(name);
    const [a, b, c] = given;
    bench("inlined", () => {
      let total = 0;
      for (const area of areas) total += inlined(area);
      kept.total += total;
    });
    bench("through the wrapper", () => {
      let total = 0;
      for (const area of areas) total += calculate(area, a, b, c) as number;
      kept.total += total;
    });
  });
}

describe(`SEED_WEIGHT down ${calls} rows`, () => {
  const eachRow = through("EACH_ROW");
  const single = through("SEED_WEIGHT");
  const column = areas.map((area) => [area]);
  bench("one call", () => {
    kept.total += Number((eachRow("SEED_WEIGHT", [column, [[7]], [[0.85]]]) as number[][])[0]?.[0]);
  });
  const all = [column, areas.map(() => [7]), areas.map(() => [0.85])];
  bench("one call, every argument a column", () => {
    kept.total += Number((eachRow("SEED_WEIGHT", all) as number[][])[0]?.[0]);
  });
  bench("a call a row", () => {
    for (const area of areas) kept.total += Number(single(area, 7, 0.85));
  });
});

/**
 * A host that fails inside a request, and another person who edits meanwhile: whatever happens to a work, each cell ends
 * as it was before, as it is after, or as the other person typed it, and what stands half done can be finished or taken
 * back. `HALF_DONE_RUNS=10000` runs so many, and `HALF_DONE_EVERY=1` fails every operation of every work in turn; a few
 * of either are run every time.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { openWorkbench } from "../support/built-workbench";
import type { WorkCase } from "./half-done/cases";
import { cases } from "./half-done/cases";
import type { Disturbed, Known } from "./half-done/run";
import { disturbedBy, inTurn, knowing, run } from "./half-done/run";

const {
  HALF_DONE_RUNS: runs,
  HALF_DONE_SEED: seed,
  HALF_DONE_WORK: asked,
  HALF_DONE_EVERY: every,
} = process.env;
const isLong = runs !== undefined || every !== undefined;
const firstSeed = Number(seed ?? 1);

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const wholeShare = cases.reduce((sum, { share }) => sum + share, 0);

function disturbances(known: Known, { share }: WorkCase): readonly Disturbed[] {
  if (every !== undefined) return inTurn(known);
  const mine = Math.max(2, Math.round((Number(runs ?? 40) * share) / wholeShare));
  return Array.from({ length: mine }, (_, i) => disturbedBy(known, firstSeed + i));
}

test.each(cases.filter(({ name }) => asked === undefined || name === asked))(
  "$name",
  async (work) => {
    const known = await knowing(bench, work);
    const states: Record<string, number> = {};
    const faults: string[] = [];
    const all = disturbances(known, work);
    for (const disturbed of all) {
      const outcome = await run(bench, known, disturbed);
      states[outcome.state] = (states[outcome.state] ?? 0) + 1;
      if (outcome.faults.length > 0)
        faults.push(`${JSON.stringify(disturbed)}: ${outcome.faults.slice(0, 4).join("; ")}`);
    }
    if (isLong)
      console.log(
        JSON.stringify({ work: work.name, firstSeed, runs: all.length, faulty: faults.length, states }),
      );
    expect(faults.slice(0, 20)).toEqual([]);
  },
  3_600_000,
);

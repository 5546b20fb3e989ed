/**
 * A host that fails inside a request, and another person who edits meanwhile: whatever happens to a work, each cell ends
 * as it was before, as it is after, or as the other person typed it, and what stands half done can be finished or taken
 * back. `RUNS=10000` runs all of them; a share of them is run every time.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { openWorkbench } from "../support/built-workbench";
import { cases } from "./half-done/cases";
import { disturbedBy, knowing, run } from "./half-done/run";

const runs = Number(process.env.RUNS ?? 120);
const firstSeed = Number(process.env.SEED ?? 1);
const asked = process.env.WORK;

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const wholeShare = cases.reduce((sum, { share }) => sum + share, 0);

test.each(cases.filter(({ name }) => asked === undefined || name === asked))(
  "$name",
  async (work) => {
    const known = await knowing(bench, work);
    const states: Record<string, number> = {};
    const faults: string[] = [];
    const mine = Math.max(4, Math.round((runs * work.share) / wholeShare));
    for (let seed = firstSeed; seed < firstSeed + mine; seed++) {
      const disturbed = disturbedBy(known, seed);
      const outcome = await run(bench, known, disturbed);
      states[outcome.state] = (states[outcome.state] ?? 0) + 1;
      if (outcome.faults.length > 0)
        faults.push(`${JSON.stringify(disturbed)}: ${outcome.faults.slice(0, 4).join("; ")}`);
    }
    if (process.env.RUNS !== undefined)
      console.log(
        JSON.stringify({ work: work.name, seeds: [firstSeed, mine], faulty: faults.length, states }),
      );
    expect(faults.slice(0, 20)).toEqual([]);
  },
  3_600_000,
);

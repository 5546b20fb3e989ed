/**
 * A host that fails inside a request, and another person who edits meanwhile: whatever happens to a work, each cell ends
 * as it was before, as it is after, or as the other person typed it, and what stands half done can be finished or taken
 * back. A few are run every time, with those that something was found by.
 *
 * HALF_DONE_RUNS=10000 runs so many, spread over the works by their shares; HALF_DONE_SEED=1 is the first of the seeds
 * that each work runs through, and a run is the same again for its work and seed. HALF_DONE_EVERY=1 fails every
 * operation of every work in turn, with a host that answers again and with one that is gone; in the longest requests
 * those are left out that only say which object is meant, unless it is HALF_DONE_EVERY=all. HALF_DONE_WORK="a repair"
 * takes one work alone. Each work tells how many runs ended in which state, and what was wrong in which.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { openWorkbench } from "../support/built-workbench";
import type { WorkCase } from "./half-done/cases";
import { cases } from "./half-done/cases";
import { foundBefore } from "./half-done/found";
import type { Known } from "./half-done/known";
import { knowing } from "./half-done/known";
import type { Disturbed } from "./half-done/run";
import { disturbedBy, inTurn, run } from "./half-done/run";

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
  if (every !== undefined) return inTurn(known, every === "all");
  const mine = Math.max(2, Math.round((Number(runs ?? 40) * share) / wholeShare));
  const random = Array.from({ length: mine }, (_, i) => disturbedBy(known, firstSeed + i));
  return isLong ? random : [...foundBefore(known.work.name), ...random];
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
    if (isLong) {
      const told = { work: work.name, firstSeed, runs: all.length, faulty: faults.length, states };
      console.log([JSON.stringify(told), ...faults].join("\n"));
    }
    expect(faults.slice(0, 20)).toEqual([]);
  },
  3_600_000,
);

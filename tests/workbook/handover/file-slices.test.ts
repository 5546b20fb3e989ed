import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import type { Progress } from "../../../src/workbook/host/progress";
import { Stopped } from "../../../src/workbook/host/progress";
import { unwatched } from "../../support/built-workbench";
import { withEdited } from "../../support/file-parts";
import { plainWorkbook } from "../../support/libreoffice";

/** A file with so many calls, each calculated. */
function fileOf(calls: number): Uint8Array {
  const cells = Array.from({ length: calls }, (_, i) => [
    { sheet: "Zones", address: `A${i + 1}`, content: 1000 + i },
    { sheet: "Zones", address: `B${i + 1}`, content: `=_xldudf_SWARD_SEED_WEIGHT(A${i + 1},$D$1)` },
  ]).flat();
  return withEdited(plainWorkbook([...cells, { sheet: "Zones", address: "D1", content: 7 }]), {
    "xl/sheet1.xml": (xml) => xml.replaceAll("</f></c>", "</f><v>7</v></c>"),
  });
}

/** Stretches between two turns of the event loop while the work goes on, in milliseconds. */
async function stretches(work: () => Promise<unknown>): Promise<readonly number[]> {
  const found: number[] = [];
  let last = performance.now();
  let ended = false;
  const turn = (): void => {
    const now = performance.now();
    found.push(now - last);
    last = now;
    if (!ended) setImmediate(turn);
  };
  setImmediate(turn);
  await work();
  found.push(performance.now() - last);
  ended = true;
  return found;
}

describe.each(["native formulas", "values"] as const)("a long hand-over in a file, in %s", (mode) => {
  const calls = 3000;
  const file = fileOf(calls);

  // A clock by which every piece of the work takes as long as a slice: what happens depends on no machine.
  beforeEach(() => {
    let clock = 0;
    vi.spyOn(performance, "now").mockImplementation(() => (clock += 20));
  });
  afterEach(() => {
    vi.restoreAllMocks();
  });

  test("can give way more often than once in fifty calls, and tells each time what it does", async () => {
    const told: string[] = [];
    await rewriteFile(file, { mode }, { report: (_done, _total, what) => told.push(what), stopped: false });
    expect(told.length).toBeGreaterThan(calls / 50);
    expect(new Set(told)).toEqual(
      new Set([
        "Reading the file",
        "Reading Zones",
        "Converting Zones",
        "Rewriting Zones",
        "Writing the file",
      ]),
    );
  });

  test.each([1, 2, 10, 100, 150])(
    "stops at its pause %i when it is asked to, and gives nothing",
    async (at) => {
      let passed = 0;
      const stopping: Progress = {
        report: () => passed++,
        get stopped() {
          return passed >= at;
        },
      };
      await expect(rewriteFile(file, { mode }, stopping)).rejects.toBeInstanceOf(Stopped);
      expect(passed).toBe(at);
    },
  );
});

/** Long: only where it is asked for, `FIGURES=1`; the figures are for a person to read. */
describe.runIf(process.env.FIGURES !== undefined)("figures", () => {
  test.each([10_000, 50_000])(
    "of %i calls",
    async (calls) => {
      const file = fileOf(calls);
      for (const mode of ["native formulas", "values"] as const) {
        const all = await stretches(() => rewriteFile(file, { mode }, unwatched));
        const whole = all.reduce((sum, stretch) => sum + stretch, 0);
        console.log(
          `${calls} calls, ${mode}: longest stretch ${all.reduce((a, b) => Math.max(a, b), 0).toFixed(0)} ms, ${whole.toFixed(0)} ms in all`,
        );
      }
    },
    600_000,
  );
});

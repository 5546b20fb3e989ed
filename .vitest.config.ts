import { defineConfig } from "vitest/config";
import type { TestSpecification } from "vitest/node";
import { BaseSequencer } from "vitest/node";

/** Short files that take long: a machine that has not run the tests before would begin them last, and wait for one. */
const long = [
  "handover/no-frozen-figure",
  "harsh/refusals",
  "handover/stopping",
  "handover/random",
  "bid/large",
  "bid/names-as-criteria",
  "own-sheets/other-workbooks",
  "browser/pane",
  "browser/keyboard-bid",
];

/** So that at the end no core is idle while the other one is busy with a file of minutes. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const isShort = ({ moduleId }: TestSpecification) =>
      !long.some((name) => moduleId.includes(`${name}.test`));
    const sorted = await super.sort(files);
    return sorted.sort((one, other) => Number(isShort(one)) - Number(isShort(other)));
  }
}

/** What speaks to a host meets both: the kind one, and one as harsh as the real one. */
const withHost = [
  "tests/browser/**/*.test.ts",
  "tests/workbook/*.test.ts",
  "tests/workbook/formulas/explain.test.ts",
  "tests/workbook/writing/*.test.ts",
  "tests/workbook/bid/**/*.test.ts",
  "tests/workbook/checks/{live,live-edits,other-workbooks,own-sheets,seeded,set-aside}.test.ts",
  "tests/workbook/drawings/on-sheet.test.ts",
  "tests/workbook/handover/{earlier-edition,file,handed-list,loose-return,loose-states,office-edits}.test.ts",
  "tests/workbook/handover/{plain-save,random,read-back,refused-cell,return,rules,sample-bid}.test.ts",
  "tests/workbook/handover/{sheet-names,spills,texts-like-errors,values-beside}.test.ts",
  "tests/workbook/outlines/bring.test.ts",
  "tests/workbook/own-sheets/{list-calls,other-workbooks}.test.ts",
];

export default defineConfig({
  test: {
    // A test that takes half a minute alone takes minutes on a machine that does other things beside it.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    // A key that a busy machine's browser loses is no fault of the product; a fault fails twice.
    retry: process.env.CI === undefined ? 0 : 1,
    // What is looked at until it is so is looked at for longer on a busy machine, and for no longer on an idle one.
    expect: { poll: { timeout: 30_000 } },
    // Much of the time goes into programs and pauses beside the tests: a third worker has both cores of a small machine
    // at work while the others wait.
    maxWorkers: 3,
    sequence: { sequencer: LongestFirst },
    // What both projects read is made ready once.
    experimental: { fsModuleCache: true },
    projects: [
      {
        extends: true,
        test: {
          name: "kind",
          include: ["tests/**/*.test.ts"],
          benchmark: { include: ["tests/bench/**/*.bench.ts"] },
        },
      },
      {
        extends: true,
        test: {
          name: "harsh",
          include: withHost,
          // Calculated by three engines from one writing, or nothing of the host's, or in a host of their own choosing: how
          // this one takes what is written, others look at.
          exclude: [
            "tests/browser/{first-screen,typing}.test.ts",
            "tests/workbook/large-workbooks.test.ts",
            "tests/workbook/bid/{blanks,declared,found-again,names-as-criteria}.test.ts",
            "tests/workbook/writing/{moved-formula,write-cells,writers}.test.ts",
          ],
          env: { HOST: "harsh" },
          benchmark: { include: [] },
        },
      },
    ],
  },
});

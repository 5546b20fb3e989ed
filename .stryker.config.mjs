/**
 * What `npm run mutation` runs: single changes in the engine, one after another, each of which a test should notice.
 * A folder at a time: `npm run mutation -- --mutate "src/engine/measure/*.ts"`.
 */
export default {
  testRunner: "vitest",
  vitest: { configFile: ".vitest.mutation.config.ts" },
  mutate: ["src/engine/**/*.ts"],
  // What a text says is looked at by people; that each is there and fits, the tests of the catalogue look at.
  mutator: { excludedMutations: ["StringLiteral"] },
  coverageAnalysis: "perTest",
  concurrency: 1,
  timeoutMS: 60_000,
  reporters: ["clear-text", "progress-append-only"],
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  ignorePatterns: ["dist", "src/pane", "src/workbench", "tests/browser", "tests/bench"],
  // A changed constant of a module would have every test run again.
  ignoreStatic: true,
  allowConsoleColors: false,
};

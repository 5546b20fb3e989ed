/** The workbench with the functions as they were built, and a progress that nobody watches. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Harshness } from "../../src/workbench/host/harshness";
import { harsh, kind } from "../../src/workbench/host/harshness";
import { startWorkbench } from "../../src/workbench/node";
import type { WorkbenchOptions, Workbench } from "../../src/workbench/node";
import type { Progress } from "../../src/workbook/host/progress";

export const builtFile = (name: string): string =>
  readFileSync(fileURLToPath(new URL(`../../dist/${name}`, import.meta.url)), "utf8");

/** Which host the tests of a file meet: each runs both ways. */
export const isHarsh = process.env.HOST === "harsh";

/** The host that the tests meet, with some of its switches set otherwise. */
export const host = (more: Partial<Harshness>): Harshness => ({ ...(isHarsh ? harsh : kind), ...more });

export const openWorkbench = async (options: Partial<WorkbenchOptions> = {}): Promise<Workbench> => {
  const bench = await startWorkbench({
    functions: {
      script: builtFile("functions.js"),
      metadata: JSON.parse(builtFile("functions.json")) as never,
    },
    enforceRequirementSets: true,
    harshness: host({}),
    ...options,
  });
  bench.situation.looksWhenCalculated = isHarsh;
  return bench;
};

export const unwatched: Progress = { report: () => undefined, stopped: false };

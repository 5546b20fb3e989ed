/** The workbench with the functions as they were built, and a progress that nobody watches. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { startWorkbench } from "../../src/workbench/node";
import type { WorkbenchOptions, Workbench } from "../../src/workbench/node";
import type { Progress } from "../../src/workbook/progress";

export const builtFile = (name: string): string =>
  readFileSync(fileURLToPath(new URL(`../../dist/${name}`, import.meta.url)), "utf8");

export const openWorkbench = (options: Partial<WorkbenchOptions> = {}): Promise<Workbench> =>
  startWorkbench({
    functions: {
      script: builtFile("functions.js"),
      metadata: JSON.parse(builtFile("functions.json")) as never,
    },
    enforceRequirementSets: true,
    ...options,
  });

export const unwatched: Progress = { report: () => undefined, stopped: false };

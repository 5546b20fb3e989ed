/** Workbenches for the tests of one file: opened by a test, closed after it, and looked over for what went wrong. */
import { afterAll, afterEach, beforeAll, expect } from "vitest";
import type { Machine, OpenWorkbench } from "./open-workbench";
import { startMachine } from "./open-workbench";

export function workbenches(): Machine["open"] {
  let machine: Machine;
  let opened: OpenWorkbench[] = [];
  beforeAll(async () => {
    machine = await startMachine();
  });
  afterAll(() => machine.close());

  /** Whatever a test looks at, nothing may be left uncaught and nothing asked for outside. */
  afterEach(async () => {
    const looked = opened;
    opened = [];
    for (const { page } of looked) await page.context().close();
    expect(looked.flatMap(({ faults }) => faults)).toEqual([]);
    expect(looked.flatMap(({ outside }) => outside)).toEqual([]);
  });

  return async (...given) => {
    const workbench = await machine.open(...given);
    opened.push(workbench);
    return workbench;
  };
}

/** One formula that the host refuses, though it is sound: the others go over and come back, and that one is listed. */
import { afterEach, beforeAll, expect, test, vi } from "vitest";
import { HostError } from "../../../src/workbench/protocol/host-error";
import { Book } from "../../../src/workbench/host/book";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
afterEach(() => {
  vi.restoreAllMocks();
});

/** A host that takes any content but such a one. */
function refusing(isRefused: (content: string) => boolean): void {
  const write: (...given: Parameters<Book["write"]>) => void = Reflect.get(Book.prototype, "write");
  vi.spyOn(Book.prototype, "write").mockImplementation(function (this: Book, position, value) {
    if (isRefused(String(value))) throw new HostError("InvalidArgument", "The argument is invalid.");
    Reflect.apply(write, this, [position, value]);
  });
}

const calls = 40;
const refused = 17;
const original = (row: number): string => `=SWARD.PACKS(A${row},25)`;

async function written(): Promise<void> {
  bench.reset();
  for (let row = 1; row <= calls; row++)
    bench.setCells("Sheet1", { [`A${row}`]: String(100 * row), [`B${row}`]: original(row) });
  await bench.calculated();
}
const formulas = () => Array.from({ length: calls }, (_, i) => bench.formula("Sheet1", `B${i + 1}`));

test("an original that the host refuses stays handed over and is listed; all others come back", async () => {
  await written();
  await handOver(["Sheet1"], unwatched);
  const carrier = bench.formula("Sheet1", `B${refused}`);
  refusing((content) => content === original(refused));
  const report = await bringBack(["Sheet1"], unwatched);
  expect(report.restored).toBe(calls - 1);
  expect(report.foreign.map(({ address }) => address)).toEqual([`B${refused}`]);
  expect(report.foreign[0]?.note).toMatch(/^Excel refused its original, so it is left: [A-Z].*\.$/);
  expect(formulas()).toEqual(
    Array.from({ length: calls }, (_, i) => (i + 1 === refused ? carrier : original(i + 1))),
  );
  vi.restoreAllMocks();
  // Once the host takes it, it comes back too.
  expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 1, foreign: [] });
  expect(formulas()).toEqual(Array.from({ length: calls }, (_, i) => original(i + 1)));
});

test("a native form that the host refuses leaves its function and is listed; all others are handed over", async () => {
  await written();
  refusing((content) => content.startsWith("=CHOOSE") && content.includes(`A${refused}/`));
  const report = await handOver(["Sheet1"], unwatched);
  expect(report.converted).toBe(calls - 1);
  expect(report.putBack.map(({ address }) => address)).toEqual([`B${refused}`]);
  expect(report.putBack[0]?.note).toMatch(/^Excel refused its native form: [A-Z].*\.$/);
  expect(formulas().filter((formula) => formula?.startsWith("=CHOOSE(")).length).toBe(calls - 1);
  expect(bench.formula("Sheet1", `B${refused}`)).toBe(original(refused));
});

import { beforeAll, beforeEach, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { carryReview } from "../../../src/workbook/bid/carry-review";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { screened, taken } from "../../../src/workbook/bid/sheets/review";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { BidCells } from "../../support/bid-cells";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});
beforeEach(() => bench.reset());

const options = {
  system: "us",
  currency: "$",
  property: "Larkfield House, 14 Quarry Lane",
  sample: true,
} as const;

const bags = (): number => bid.number(purchases, "packs1", "topdress");
const fillReview = (): void => {
  bid.fill(screened, "topdress", { opened: "200", screenedOut: "50" });
  bid.fill(taken, "topdress", { taken: "3" });
};

test("the real screen loss and pace reach Materials and Order, and the next bid's bags follow", async () => {
  await writeBid(options, unwatched);
  expect(bags()).toBe(69);
  // 200 ft3 opened, 50 ft3 left on the screen; topdressing 7,882 ft2 took the crew of two 3 hours.
  fillReview();
  const carried = await carryReview();
  expect(carried.map(({ sheet, name, now }) => [sheet, name, Number(now.toFixed(4))])).toEqual([
    ["Materials", "Screened peat blend", 0.25],
    ["Order", "Topdressing", Number((7882 / 6).toFixed(4))],
  ]);
  // 7,882 ft2 at 1/4 in from 3 ft3 bags of which a quarter stays on the screen.
  expect(bags()).toBe(Math.ceil((7882 * 0.25) / 12 / (3 * 0.75)));
  // Where a batch of an add-in can be taken back at all, it is one step.
  if (isHarsh) return;
  bench.undo();
  expect(bags()).toBe(69);
});

test("a review without figures carries nothing and says what to enter", async () => {
  await writeBid(options, unwatched);
  await expect(carryReview()).rejects.toThrow(/holds no real figures yet: enter what was opened/);
});

test("without the bid sheets it says what to do first", async () => {
  await expect(carryReview()).rejects.toThrow(/write the bid sheets, fill in Review/);
});

test.each(["Screen", "Step", "Name", "Hours", "Screen loss, from past jobs", "Pace, ft²", "=1+1", "12-14"])(
  "a material called %s takes no other's place",
  async (name) => {
    const { us } = sampleProperty;
    const named = <T extends object>(list: readonly T[]): T[] => list.map((one) => ({ ...one, name }));
    const job = {
      ...us,
      seedLots: named(us.seedLots),
      topdressings: named(us.topdressings),
      chosen: { ...us.chosen, seedLot: name, topdressing: name },
    };
    await writeBid({ ...options, sample: false, job }, unwatched);
    fillReview();
    const carried = await carryReview();
    // 50 of 200 opened stayed on the screen; 7,882 ft2 took the crew of two 3 hours.
    expect(carried.map(({ sheet, now }) => [sheet, Number(now.toFixed(4))])).toEqual([
      ["Materials", 0.25],
      ["Order", Number((7882 / 6).toFixed(4))],
    ]);
    const at = carried.map(({ sheet, address }) => bench.value(sheet, address.replace(/^[A-Z]+/, "A")));
    expect(at).toEqual([name, "Topdressing"]);
    const cells = Array.from({ length: 60 }, (_, row) => bench.value("Materials", `A${row + 1}`));
    expect(cells.filter((cell) => cell === name).length).toBeGreaterThanOrEqual(2);
  },
);

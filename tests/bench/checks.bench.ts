/** 20,000 calls on one sheet: checked as a whole, and checked again after one edit. Ratios of one run. */
import { beforeAll, bench, describe } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { WorkbookChecks } from "../../src/workbook/checks/run-checks";
import { openWorkbench, unwatched } from "../support/built-workbench";

const rows = 5000;
const last = rows + 1;

/** Four calls a row: seed, starter, dose, topdressing. */
function cells(): Record<string, string> {
  const heads = ["Zone", "Purpose", "Grass", "Area, ft²", "Perimeter, ft", "Seeding rate, lb per 1000 ft²"];
  const content: Record<string, string> = {};
  [...heads, "Seed, lb", "Starter bought, lb", "Spray, fl oz", "Peat, ft³"].forEach(
    (head, i) => (content[`${String.fromCharCode(65 + i)}1`] = head),
  );
  for (let row = 2; row <= last; row++) {
    Object.assign(content, {
      [`A${row}`]: `Zone ${row}`,
      [`B${row}`]: "new",
      [`C${row}`]: "tall fescue",
      [`D${row}`]: String(1000 + row),
      [`E${row}`]: "900",
      [`F${row}`]: "7",
      [`G${row}`]: `=SWARD.SEED_WEIGHT(D${row},F${row})`,
      [`H${row}`]: `=SWARD.FERTILISER_WEIGHT(D${row},1,0.18)`,
      [`I${row}`]: `=SWARD.LABEL_DOSE(D${row},$M$1)`,
      [`J${row}`]: `=SWARD.TOPDRESS_VOLUME(D${row},$M$2)`,
    });
  }
  return { ...content, L1: "Label rate used", M1: "4", L2: "Depth", M2: "0.2" };
}

let workbench: Workbench;
let checks: WorkbookChecks;
let area = 2000;

beforeAll(async () => {
  workbench = await openWorkbench();
  workbench.reset([{ name: "Lawns" }]);
  workbench.setCells("Lawns", cells());
  checks = await WorkbookChecks.start(unwatched);
}, 120_000);

async function edit(address: string, column: number, content: string): Promise<void> {
  workbench.setCell("Lawns", address, content);
  workbench.value("Lawns", "G100");
  const row = Number(address.slice(1)) - 1;
  await checks.recheck([{ sheet: "Lawns", top: row, bottom: row, left: column, right: column }], unwatched);
}

describe("20,000 calls", () => {
  bench(
    "checked as a whole, the reading included",
    () => WorkbookChecks.start(unwatched).then(() => undefined),
    {
      iterations: 3,
      warmupIterations: 1,
      time: 0,
    },
  );
  bench("checked again after an area was edited", () => edit("D100", 3, String(++area)), {
    iterations: 20,
    warmupIterations: 3,
    time: 0,
  });
  bench(
    "checked again after a formula was typed over and put back",
    async () => {
      await edit("G100", 6, "20");
      await edit("G100", 6, "=SWARD.SEED_WEIGHT(D100,F100)");
    },
    { iterations: 10, warmupIterations: 2, time: 0 },
  );
});

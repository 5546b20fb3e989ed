import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

/** Lets everything arrive that is under way. */
const settled = () => new Promise((resolve) => setTimeout(resolve, 50));

/** Handlers that note what they were told. */
function notes() {
  const seen: string[] = [];
  const note =
    <Event>(read: (event: Event) => string) =>
    (event: Event) => {
      seen.push(read(event));
      return Promise.resolve();
    };
  return { seen, note };
}

describe("events", () => {
  it("tells the workbook and the sheets of a selection", async () => {
    const { seen, note } = notes();
    await Excel.run(async (context) => {
      const { workbook } = context;
      const one = workbook.onSelectionChanged.add(note(() => "workbook"));
      const all = workbook.worksheets.onSelectionChanged.add(note((event) => event.address));
      await context.sync();
      bench.select("Sheet1", "B3:C4");
      await settled();
      expect(seen.sort()).toEqual(["B3:C4", "workbook"]);
      one.remove();
      all.remove();
      await context.sync();
      bench.select("Sheet1", "A1");
      await settled();
      expect(seen).toHaveLength(2);
    });
  });

  it("tells of a change with its address, whoever made it", async () => {
    const seen: unknown[] = [];
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getItem("Sheet1");
      const result = sheet.onChanged.add(async (event) => {
        await Excel.run(async (inner) => {
          const range = event.getRange(inner);
          range.load("values");
          await inner.sync();
          seen.push([event.address, range.values]);
        });
      });
      await context.sync();
      bench.setCell("Sheet1", "B2", "7");
      await settled();
      sheet.getRange("C1:D1").values = [[1, 2]];
      await context.sync();
      await settled();
      expect(seen).toEqual([
        ["B2", [[7]]],
        ["C1:D1", [[1, 2]]],
      ]);
      result.remove();
      await context.sync();
    });
  });

  it("tells of sheets added, activated, renamed and deleted", async () => {
    const { seen, note } = notes();
    await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      const results = [
        worksheets.onAdded.add(note(() => "added")),
        worksheets.onActivated.add(note(() => "activated")),
        worksheets.onNameChanged.add(note((event) => `${event.nameBefore}>${event.nameAfter}`)),
        worksheets.onDeleted.add(note(() => "deleted")),
      ];
      await context.sync();
      const sheet = worksheets.add("Bid");
      await context.sync();
      sheet.name = "Bid 2";
      await context.sync();
      sheet.activate();
      await context.sync();
      sheet.delete();
      await context.sync();
      await settled();
      expect(seen).toEqual(["added", "Bid>Bid 2", "activated", "deleted", "activated"]);
      results.forEach((result) => result.remove());
      await context.sync();
    });
  });
});

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

  /** Everything that a sheet's cells and names tell, in the words of the host. */
  async function listening(work: (seen: string[]) => Promise<void>): Promise<readonly string[]> {
    const { seen, note } = notes();
    await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      const results: { remove(): void }[] = [
        worksheets.onChanged.add(
          note(({ changeType, address }) => [changeType, address].filter(Boolean).join(" ")),
        ),
        worksheets.onNameChanged.add(note((event) => `${event.nameBefore}>${event.nameAfter}`)),
        worksheets.onMoved.add(note((event) => `moved ${event.positionBefore}>${event.positionAfter}`)),
        worksheets.onAdded.add(note(() => "added")),
        worksheets.onDeleted.add(note(() => "deleted")),
      ];
      await context.sync();
      await work(seen);
      await settled();
      results.forEach((result) => result.remove());
      await context.sync();
    });
    return seen;
  }
  const dispatch = (type: string, payload: object) =>
    (bench.model as unknown as { dispatch(type: string, payload: object): unknown }).dispatch(type, payload);
  const headers = (dimension: "ROW" | "COL") => ({ sheetId: "sheet-1", sheetName: "Sheet1", dimension });

  it("tells of rows and columns put in and taken out, of undo and of redo", async () => {
    bench.setCells("Sheet1", { A1: "1", B9: "=A1" });
    const seen = await listening(async (said) => {
      const after = async (act: () => unknown) => {
        act();
        await settled();
        said.push("-");
      };
      await after(() =>
        dispatch("ADD_COLUMNS_ROWS", { ...headers("ROW"), base: 2, quantity: 2, position: "before" }),
      );
      await after(() =>
        dispatch("ADD_COLUMNS_ROWS", { ...headers("COL"), base: 0, quantity: 1, position: "after" }),
      );
      await after(() => bench.undo());
      await after(() => bench.redo());
      await after(() => dispatch("REMOVE_COLUMNS_ROWS", { ...headers("ROW"), elements: [1, 5, 6] }));
      await after(() => bench.undo());
      await after(() => bench.setCell("Sheet1", "C4", "7"));
      await after(() => bench.undo());
      await after(() => bench.redo());
      // A sheet that grows at its end has not changed: the host's have all their rows from the start.
      await after(() => bench.setCell("Sheet1", "A900", "7"));
    });
    expect(seen.join(" ").split(" - ")).toEqual([
      "RowInserted 3:4",
      "ColumnInserted B:B",
      "ColumnDeleted B:B",
      "ColumnInserted B:B",
      "RowDeleted 6:7 RowDeleted 2:2",
      "RowInserted 2:2 RowInserted 6:7",
      "RangeEdited C4",
      "RangeEdited C4",
      "RangeEdited C4",
      "RangeEdited A900 -",
    ]);
  });

  it("tells of a sheet renamed, moved, copied and deleted, and of all that taken back", async () => {
    bench.reset([{ name: "One" }, { name: "Two" }]);
    const seen = await listening(async (said) => {
      const steps = [
        () => dispatch("RENAME_SHEET", { sheetId: "sheet-1", oldName: "One", newName: "First" }),
        () => dispatch("MOVE_SHEET", { sheetId: "sheet-1", delta: 1 }),
        () => dispatch("DUPLICATE_SHEET", { sheetId: "sheet-1", sheetIdTo: "copy", sheetNameTo: "Copy" }),
        () => dispatch("DELETE_SHEET", { sheetId: "sheet-2", sheetName: "Two" }),
      ];
      for (const act of [...steps, ...steps.map(() => () => bench.undo()), () => bench.redo()]) {
        act();
        await settled();
        said.push("-");
      }
    });
    expect(seen.join(" ").split(" - ")).toEqual([
      "One>First",
      "moved 0>1",
      "added",
      "deleted",
      "added",
      "deleted",
      "moved 1>0",
      "First>One",
      "One>First -",
    ]);
  });
});

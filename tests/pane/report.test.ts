import { describe, expect, it } from "vitest";
import { eachOnce, groupNotes } from "../../src/pane/parts/group-notes";
import { Work } from "../../src/pane/parts/progress";

const note = (sheet: string, address: string, text: string) => ({
  sheet,
  address,
  formula: "=1",
  note: text,
});

describe("notes of a report", () => {
  it("tells a shared note once, with its cells sheet by sheet, in the order they came", () => {
    const groups = groupNotes([
      note("Site", "B2", "crosses"),
      note("Bid", "C4", "value"),
      note("Bid", "B9", "crosses"),
      note("Site", "B3", "crosses"),
    ]);
    expect(groups.map(({ note: text }) => text)).toEqual(["crosses", "value"]);
    expect(groups[0]?.sheets.map(({ name, cells }) => [name, cells.map(({ address }) => address)])).toEqual([
      ["Site", ["B2", "B3"]],
      ["Bid", ["B9"]],
    ]);
  });
});

describe("a cell with a note twice", () => {
  const twice = [note("Site", "B2", "crosses"), note("Site", "B2", "crosses"), note("Bid", "B2", "crosses")];

  it("is told once, and counted once", () => {
    expect(groupNotes(twice)[0]?.sheets.map(({ cells }) => cells.length)).toEqual([1, 1]);
    expect(eachOnce([...twice, note("Bid", "B2", "value")])).toHaveLength(2);
  });
});

describe("work that takes a while", () => {
  it("tells how far it is in whole per cent, and draws again each time", () => {
    let drawn = 0;
    const work = new Work(() => drawn++);
    work.report(1, 3, "Writing");
    expect([work.perCent, work.told, drawn]).toEqual([33, "Writing", 1]);
    work.report(500, 300, "Writing");
    expect(work.perCent).toBe(100);
    work.report(0, 0, "Nothing");
    expect(work.perCent).toBe(0);
  });

  it("says that it is stopping until it has stopped", () => {
    const work = new Work(() => undefined);
    work.stop();
    work.report(1, 2, "Writing");
    expect(work.stopped).toBe(true);
    expect(work.told).toMatch(/^Stopping/);
  });
});

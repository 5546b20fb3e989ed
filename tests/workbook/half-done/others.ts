/** Another person at the same workbook: types, puts rows in, takes some out, renames and deletes sheets, adds some. */
import type { Workbench } from "../../../src/workbench/node";
import { cellName } from "../../../src/workbench/host/area";
import { putInOrTakeOut } from "../../support/rows-and-columns";
import { Moves } from "./moves";

export const otherEdits = [
  "types over a cell",
  "types into a free cell",
  "puts a row in",
  "takes a row out",
  "puts a column in",
  "renames a sheet",
  "deletes a sheet",
  "adds a sheet",
] as const;
export type OtherEdit = (typeof otherEdits)[number];

interface Typed {
  readonly sheet: string;
  row: number;
  column: number;
  readonly content: string;
}

/** Names that the works give to sheets of theirs. */
const wantedNames = ["Site", "Bid", "Checks", "Working", "Lawns as values", "Lawns (2)"];

export class AnotherPerson {
  readonly typed: Typed[] = [];
  readonly added = new Set<string>();
  readonly deleted = new Set<string>();
  private readonly moves = new Map<string, Moves>();
  private count = 0;
  private readonly sheets: readonly string[];

  constructor(
    private readonly bench: Workbench,
    /** Sheets that were there before the work. */
    sheets: readonly { readonly id: string; readonly isVisible: boolean }[],
    private readonly pick: (most: number) => number,
  ) {
    for (const { id } of sheets) this.moves.set(id, new Moves());
    this.sheets = sheets.flatMap(({ id, isVisible }) => (isVisible ? [id] : []));
  }

  /** What is told of in full, to be typed again, is not lost. */
  isTold(typed: string): void {
    const at = this.typed.findIndex(({ content }) => content === typed);
    if (at >= 0) this.typed.splice(at, 1);
  }

  movesOf = (id: string): Moves | undefined => this.moves.get(id);

  get hasMoved(): boolean {
    return [...this.moves.values()].some(({ isMoved }) => isMoved);
  }

  /**
   * What was typed among these rows stands in rows that were not there before; where it is in the row below them, which
   * tells that they are ours, all of them stay.
   */
  hasRowsOfTyped(first: number, last: number): void {
    for (const sheet of new Set(this.typed.map((one) => one.sheet))) {
      const rows = new Set(this.typed.flatMap((one) => (one.sheet === sheet ? [one.row] : [])));
      for (let row = first; row <= last; row++)
        if (rows.has(row) || rows.has(last + 1)) this.moves.get(sheet)?.insertRow(row);
    }
  }

  does(edit: OtherEdit, targets: readonly (readonly [sheet: string, row: number, column: number])[]): void {
    const { getters } = this.bench.model;
    const there = this.sheets.filter((id) => getters.tryGetSheet(id) !== undefined);
    const id = there[this.pick(there.length)];
    if (id === undefined) return;
    const name = getters.getSheetName(id);
    const count = ++this.count;
    if (edit === "types over a cell") {
      const [sheet, row, column] = targets[this.pick(targets.length)] ?? [id, 1, 1];
      if (getters.tryGetSheet(sheet) !== undefined) this.type(sheet, row, column, `theirs ${count}`);
    }
    if (edit === "types into a free cell")
      this.type(
        id,
        20 + this.pick(5),
        this.pick(8),
        count % 2 === 0 ? `=7000+${count}` : String(7000 + count),
      );
    if (edit === "puts a row in") this.shift(id, "ROW", 1 + this.pick(4), true);
    if (edit === "takes a row out") this.shift(id, "ROW", 1 + this.pick(4), false);
    if (edit === "puts a column in") this.shift(id, "COL", this.pick(4), true);
    if (edit === "renames a sheet")
      this.dispatch("RENAME_SHEET", { sheetId: id, oldName: name, newName: `Renamed ${count}` });
    if (edit === "deletes a sheet" && getters.getVisibleSheetIds().length > 1 && there.length > 1) {
      this.dispatch("DELETE_SHEET", { sheetId: id, sheetName: name });
      if (getters.tryGetSheet(id) === undefined) this.deleted.add(id);
    }
    if (edit === "adds a sheet") {
      const free =
        wantedNames.find((one) => getters.getSheetIdByName(one) === undefined) ?? `Theirs ${count}`;
      const sheetId = `theirs-${count}`;
      this.dispatch("CREATE_SHEET", { sheetId, position: 0, name: free });
      if (getters.tryGetSheet(sheetId) === undefined) return;
      this.added.add(sheetId);
      this.type(sheetId, 0, 0, `theirs ${count}`);
    }
  }

  private dispatch(type: string, payload: object): void {
    (this.bench.model as unknown as { dispatch(type: string, payload: object): void }).dispatch(
      type,
      payload,
    );
  }

  private type(sheet: string, row: number, column: number, content: string): void {
    this.bench.setCell(this.bench.model.getters.getSheetName(sheet), cellName(column, row), content);
    const before = this.typed.findIndex(
      (one) => one.sheet === sheet && one.row === row && one.column === column,
    );
    if (before >= 0) this.typed.splice(before, 1);
    this.typed.push({ sheet, row, column, content });
  }

  private shift(id: string, dimension: "ROW" | "COL", at: number, isIn: boolean): void {
    const sheetName = this.bench.model.getters.getSheetName(id);
    const count = () => this.bench.model.getters.getNumberHeaders(id, dimension);
    const before = count();
    putInOrTakeOut(this.bench, sheetName, { dimension, at, count: 1, isIn });
    // The spreadsheet refuses what would tear something apart.
    if (count() === before) return;
    const moves = this.moves.get(id);
    const along = dimension === "ROW" ? "row" : "column";
    if (dimension === "COL") moves?.insertColumn(at);
    else if (isIn) moves?.insertRow(at);
    else moves?.deleteRow(at);
    for (const [i, one] of [...this.typed.entries()].reverse()) {
      if (one.sheet !== id || one[along] < at) continue;
      if (!isIn && one[along] === at) this.typed.splice(i, 1);
      else one[along] += isIn ? 1 : -1;
    }
  }
}

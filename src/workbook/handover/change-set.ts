/** The cells of a hand-over or of a return, written by the ids of their sheets, which no new name changes. */
import type { Progress } from "../progress";
import type { CellChange as Change } from "../write-cells";
import { asContent, markCells, writeWhereStands } from "../write-cells";
import type { CellStep, Mark } from "../work/mark";
import type { CellPlace } from "./place";
import { placeKey } from "./place";

export interface CellChange extends CellPlace {
  readonly before: string | number;
  readonly after: string | number;
  /** What a cell that holds nothing of its own shows, where another cell's formula fills it. */
  readonly shows?: unknown;
  /** Cells of one formula are written all or none. */
  readonly group?: string;
}

/** A content as it was read or planned: what begins as a formula is one. */
const content = (one: string | number) => asContent(one, undefined);

export class ChangeSet {
  private constructor(
    private readonly context: Excel.RequestContext,
    private readonly ids: ReadonlyMap<string, string>,
  ) {}

  static async begin(context: Excel.RequestContext): Promise<ChangeSet> {
    const { worksheets } = context.workbook;
    worksheets.load("items/id,items/name");
    await context.sync();
    return new ChangeSet(context, new Map(worksheets.items.map(({ id, name }) => [name.toLowerCase(), id])));
  }

  /** The id of a sheet by the name that it had when the work began. */
  idOf(sheet: string): string {
    return this.ids.get(sheet.toLowerCase()) ?? sheet;
  }

  private named(change: CellChange): Change {
    const { before, after, ...rest } = change;
    return { ...rest, sheet: this.idOf(change.sheet), before: content(before), after: content(after) };
  }

  /** Says in the mark what the cells hold and are to hold. */
  async mark(mark: Mark, changes: readonly CellChange[]): Promise<void> {
    const bySheet = new Map<string, CellStep[]>();
    for (const { sheet, before, after, ...cell } of changes) {
      const cells = bySheet.get(this.idOf(sheet)) ?? [];
      cells.push({ ...cell, was: content(before), to: content(after) });
      bySheet.set(this.idOf(sheet), cells);
    }
    for (const [sheet, cells] of bySheet) await markCells(mark, sheet, cells);
  }

  /** Writes where what stands is what was planned from; answers with the places that were left. */
  async write(
    changes: readonly CellChange[],
    progress: Progress,
    what: string,
  ): Promise<ReadonlySet<string>> {
    const byChange = new Map(changes.map((change) => [this.named(change), change]));
    const left = await writeWhereStands(this.context, [...byChange.keys()], progress, what);
    progress.report(changes.length, changes.length, what);
    return new Set(
      left.flatMap((change) => {
        const place = byChange.get(change);
        return place === undefined ? [] : [placeKey(place)];
      }),
    );
  }
}

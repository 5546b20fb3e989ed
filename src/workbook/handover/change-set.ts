/** The cells of a hand-over or of a return, written by the ids of their sheets, which no new name changes. */
import type { Content, Progress, RequestContext } from "../host";
import type { CellChange } from "../writing";
import { asContent, markCells, writeKeepingColumns } from "../writing";
import type { CellStep, Mark } from "../marks";
import { owe } from "../marks";
import { placeKey } from "./place";

/** A content as it was read or planned: what begins as a formula is one. */
export const asPlanned = (content: string | number): Content => asContent(content, undefined);

/** What of some changes was not written, by places. */
export interface NotWritten {
  /** All that was left. */
  readonly places: ReadonlySet<string>;
  /** Those of them that the host refused, with what it said, and what belongs to these. */
  readonly refused: ReadonlyMap<string, string>;
}

/** Changes name their sheets as those were called when the work began. */
export class ChangeSet {
  private constructor(
    private readonly context: RequestContext,
    private readonly ids: ReadonlyMap<string, string>,
    private readonly kept: Mark | undefined,
    private readonly id: string,
  ) {}

  /** With the mark of a work, or with the id alone of one that is taken back. */
  static async begin(context: RequestContext, mark: Mark | string): Promise<ChangeSet> {
    const { worksheets } = context.workbook;
    worksheets.load("items/id,items/name");
    await context.sync();
    const ids = new Map(worksheets.items.map(({ id, name }) => [name.toLowerCase(), id]));
    return typeof mark === "string"
      ? new ChangeSet(context, ids, undefined, mark)
      : new ChangeSet(context, ids, mark, mark.id);
  }

  /** The id of a sheet by the name that it had when the work began. */
  idOf(sheet: string): string {
    return this.ids.get(sheet.toLowerCase()) ?? sheet;
  }

  /** Says in the mark what the cells hold and are to hold. */
  async mark(mark: Mark, changes: readonly CellChange[]): Promise<void> {
    const bySheet = new Map<string, CellStep[]>();
    for (const { sheet, before, after, ...cell } of changes) {
      const cells = bySheet.get(this.idOf(sheet)) ?? [];
      cells.push({ ...cell, was: before, to: after });
      bySheet.set(this.idOf(sheet), cells);
    }
    for (const [sheet, cells] of bySheet) await markCells(mark, sheet, cells);
  }

  /** Says in the mark which cells are formatted as text: a formula is written while they are not. */
  private async markTexts(texts: readonly CellChange[]): Promise<void> {
    const bySheet = new Map<string, CellStep[]>();
    for (const { sheet, before, after, row, column } of texts) {
      const cells = bySheet.get(sheet) ?? [];
      cells.push({ row, column, was: before, to: after });
      bySheet.set(sheet, cells);
    }
    for (const [sheet, cells] of bySheet) await this.kept?.step({ kind: "text cells", sheet, cells });
  }

  /** Writes where what stands is what was planned from; answers with what was left. */
  async write(changes: readonly CellChange[], progress: Progress, what: string): Promise<NotWritten> {
    const byChange = new Map(changes.map((one) => [{ ...one, sheet: this.idOf(one.sheet) }, one]));
    const { left, refused } = await writeKeepingColumns(this.context, [...byChange.keys()], {
      progress,
      what,
      beforeTexts: (texts) => this.markTexts(texts),
      owes: (cells) => owe(this.id, cells),
      passesRefused: true,
    });
    progress.report(changes.length, changes.length, what);
    const keyOf = (change: CellChange): string => placeKey(byChange.get(change) ?? change);
    const inGroups = new Map([...refused].map(([{ group }, why]) => [group ?? "", why]));
    const whyRefused = (change: CellChange): string | undefined =>
      refused.get(change) ?? (change.group === undefined ? undefined : inGroups.get(change.group));
    return {
      places: new Set(left.map(keyOf)),
      refused: new Map(
        left.flatMap((change) => {
          const why = whyRefused(change);
          return why === undefined ? [] : [[keyOf(change), why] as const];
        }),
      ),
    };
  }
}

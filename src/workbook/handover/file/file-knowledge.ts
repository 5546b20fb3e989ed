/** What a file's cells hold, asked for by formulas that anyone may have written. */
import { NotFollowed } from "../../evaluate";
import type { Value } from "../../evaluate";
import { blockOf, placeOf } from "../../reference";
import type { SheetCells } from "../../sheets";
import type { Surroundings } from "../../calls";
import { Knowledge } from "../knowledge";

/** No range that a function of ours reads comes near it, whole columns of long lists included. */
const mostCells = 2_000_000;

export class FileKnowledge extends Knowledge {
  private readonly computed = new Map<string, boolean>();
  private readonly extents: ReadonlyMap<string, { rows: number; columns: number }>;

  constructor(sheets: readonly SheetCells[]) {
    super(sheets);
    this.extents = new Map(
      sheets.map(({ name, rows, width }) => [name.toLowerCase(), { rows: rows.length, columns: width }]),
    );
  }

  /** A few references over whole sheets could otherwise ask for more cells than memory holds. */
  private refuseHuge(reference: string, home: string): void {
    const place = placeOf(reference, home);
    const block = place === undefined ? undefined : blockOf(place.address);
    if (place === undefined || block === undefined) return;
    const { rows = 0, columns = 0 } = this.extents.get(place.sheet.toLowerCase()) ?? {};
    const high = Math.min(block.bottom, rows) - block.top + 1;
    const wide = Math.min(block.right, columns) - block.left + 1;
    if (high > 0 && wide > 0 && high * wide > mostCells)
      throw new NotFollowed(`${reference} covers more cells than a function of ours can use`);
  }

  override valueAt(reference: string, home: string): Value {
    this.refuseHuge(reference, home);
    return super.valueAt(reference, home);
  }

  override from(home: string): Surroundings {
    const known = super.from(home);
    return {
      ...known,
      isComputed: (reference) => {
        const key = JSON.stringify([home, reference]);
        const before = this.computed.get(key);
        if (before !== undefined) return before;
        this.refuseHuge(reference, home);
        const computed = known.isComputed(reference);
        this.computed.set(key, computed);
        return computed;
      },
    };
  }
}

/** What a file's cells hold, asked for by formulas that anyone may have written. */
import type { Surroundings, Value } from "../../formulas";
import { Knowledge, NotFollowed } from "../../formulas";
import type { Block } from "../../host";
import { blockOf, placeOf } from "../../host";
import type { CellStore } from "./cell-store";
import { notCalculated } from "./settled";

/** No range that a function of ours reads comes near it, whole columns of long lists included. */
const mostCells = 2_000_000;

export class FileKnowledge extends Knowledge {
  private readonly computed = new Map<string, boolean>();
  private readonly stores: ReadonlyMap<string, CellStore>;

  constructor(sheets: readonly { readonly name: string; readonly held: CellStore }[]) {
    super([]);
    this.stores = new Map(sheets.map(({ name, held }) => [name.toLowerCase(), held]));
  }

  private found(reference: string, home: string): { store: CellStore; block: Block } | undefined {
    const place = placeOf(reference, home);
    const store = place === undefined ? undefined : this.stores.get(place.sheet.toLowerCase());
    const block = place === undefined ? undefined : blockOf(place.address);
    if (store === undefined || block === undefined) return undefined;
    const { top, left, bottom, right } = store.within(block);
    // A few references over whole sheets could otherwise ask for more cells than memory holds.
    if ((bottom - top + 1) * (right - left + 1) > mostCells)
      throw new NotFollowed(`${reference} covers more cells than a function of ours can use`);
    return { store, block };
  }

  override valueAt(reference: string, home: string): Value {
    const found = this.found(reference, home);
    if (found === undefined) throw new NotFollowed(`${reference} is worked out by the spreadsheet`);
    const values = found.store.valuesIn(found.block, notCalculated);
    return values.length === 1 && values[0]?.length === 1 ? (values[0][0] ?? null) : values;
  }

  /** Whether a formula fills any cell of a block, as `isComputed` tells of a reference to it. */
  isWorkedOut(sheet: string, block: Block): boolean {
    return this.stores.get(sheet.toLowerCase())?.isCalculated(block) ?? true;
  }

  override from(home: string): Surroundings {
    return {
      ...super.from(home),
      isComputed: (reference) => {
        const key = JSON.stringify([home, reference]);
        const before = this.computed.get(key);
        if (before !== undefined) return before;
        const found = this.found(reference, home);
        const computed = found === undefined || found.store.isCalculated(found.block);
        this.computed.set(key, computed);
        return computed;
      },
    };
  }
}

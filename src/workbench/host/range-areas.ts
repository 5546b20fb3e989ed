import { invalidArgument } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { DataValidation } from "./data-validation";
import type { Zone } from "./spreadsheet";

/** Several ranges of one sheet. */
export class RangeAreas implements WireObject {
  readonly $type = "RangeAreas";
  readonly $keepsReference = true;
  readonly $scalars = ["Address", "AreaCount"];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
    private readonly zones: readonly Zone[],
  ) {}

  get AreaCount(): number {
    return this.zones.length;
  }

  get Address(): string {
    return this.zones.map((zone) => this.book.address({ sheetId: this.sheetId, zone })).join(",");
  }

  get DataValidation(): DataValidation {
    const [first, ...more] = this.zones;
    if (!first) throw invalidArgument("there are no ranges");
    return new DataValidation(this.book, { sheetId: this.sheetId, zone: first }, more);
  }

  get Areas(): WireCollection {
    const { book, sheetId, zones } = this;
    return {
      $type: "RangeCollection",
      $scalars: [],
      $items: () => zones.map((zone) => book.objects.range({ sheetId, zone })),
    };
  }
}

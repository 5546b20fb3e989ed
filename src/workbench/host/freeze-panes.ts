import { itemNotFound } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import { isWholeColumns, isWholeRows, MAX_COLUMNS, MAX_ROWS } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";

export class WorksheetFreezePanes implements WireObject {
  readonly $type = "WorksheetFreezePanes";
  readonly $scalars = [];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
  ) {}

  FreezeRows(count = 1): void {
    this.freeze(count, 0);
  }

  FreezeColumns(count = 1): void {
    this.freeze(0, count);
  }

  FreezeAt(frozen: unknown): void {
    const { zone } =
      typeof frozen === "string"
        ? this.book.area(frozen, this.sheetId)
        : (frozen as { readonly area: Area }).area;
    this.freeze(isWholeColumns(zone) ? 0 : zone.bottom + 1, isWholeRows(zone) ? 0 : zone.right + 1);
  }

  Unfreeze(): void {
    this.book.run("UNFREEZE_COLUMNS_ROWS", { sheetId: this.sheetId });
  }

  GetLocationOrNullObject(): WireObject | null {
    const { xSplit, ySplit } = this.book.getters.getPaneDivisions(this.sheetId);
    if (!xSplit && !ySplit) return null;
    const right = xSplit ? xSplit - 1 : MAX_COLUMNS - 1;
    const bottom = ySplit ? ySplit - 1 : MAX_ROWS - 1;
    return this.book.objects.range({ sheetId: this.sheetId, zone: { left: 0, top: 0, right, bottom } });
  }

  GetLocation(): WireObject {
    const location = this.GetLocationOrNullObject();
    if (!location) throw itemNotFound("nothing is frozen on this worksheet");
    return location;
  }

  private freeze(rows: number, columns: number): void {
    const { sheetId } = this;
    this.Unfreeze();
    if (rows) this.book.run("FREEZE_ROWS", { sheetId, quantity: rows });
    if (columns) this.book.run("FREEZE_COLUMNS", { sheetId, quantity: columns });
  }
}

import { itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { EventSource, WHOLE_WORKBOOK } from "./events";
import type { Listeners } from "./events";
import { checkSheetName } from "./worksheet";

/** The size of a sheet that has not grown yet. */
export const NEW_SHEET = { cols: 26, rows: 200 };

export class WorksheetCollection extends EventSource implements WireCollection {
  readonly $type = "WorksheetCollection";
  readonly $scalars = [];
  protected readonly eventTarget = WHOLE_WORKBOOK;

  constructor(
    private readonly book: Book,
    protected readonly listeners: Listeners,
  ) {
    super();
  }

  private ids(visibleOnly: boolean): string[] {
    const { getters } = this.book;
    return visibleOnly ? getters.getVisibleSheetIds() : getters.getSheetIds();
  }

  $items(): WireObject[] {
    return this.ids(false).map((id) => this.book.objects.worksheet(id));
  }

  GetCount(visibleOnly = false): number {
    return this.ids(visibleOnly).length;
  }

  GetItemOrNullObject(key: string): WireObject | null {
    const id = this.book.findSheet(key);
    return id === null ? null : this.book.objects.worksheet(id);
  }

  GetItem(key: string): WireObject {
    return this.book.objects.worksheet(this.book.sheet(key));
  }

  GetActiveWorksheet(): WireObject {
    return this.book.objects.worksheet(this.book.getters.getActiveSheetId());
  }

  private end(visibleOnly: boolean, last: boolean): WireObject {
    const id = this.ids(visibleOnly).at(last ? -1 : 0);
    if (id === undefined) throw itemNotFound("the workbook has no such worksheet");
    return this.book.objects.worksheet(id);
  }

  GetFirst(visibleOnly = false): WireObject {
    return this.end(visibleOnly, false);
  }

  GetLast(visibleOnly = false): WireObject {
    return this.end(visibleOnly, true);
  }

  Add(name?: string | null): WireObject {
    const sheetName = name ?? this.book.getters.getNextSheetName();
    checkSheetName(this.book, sheetName, null);
    const sheetId = this.book.newId("sheet-");
    const position = this.ids(false).length;
    this.book.run("CREATE_SHEET", { sheetId, name: sheetName, position, ...NEW_SHEET });
    return this.book.objects.worksheet(sheetId);
  }
}

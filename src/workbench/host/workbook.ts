import type { WireObject } from "../protocol/wire-object";
import { Application } from "./application";
import type { Area } from "./area";
import type { Book } from "./book";
import type { Listeners } from "./events";
import { NamedItemCollection } from "./names";
import { CommentCollection } from "./comments";
import { DocumentProperties } from "./properties";
import { Protection } from "./protection";
import { Range } from "./range";
import { SettingCollection } from "./settings";
import type { Situation } from "./harshness";
import type { LateAnswers } from "./late-answers";
import { TableCollection } from "./tables";
import { HostError } from "../protocol/host-error";
import { Worksheet } from "./worksheet";
import { WorksheetCollection } from "./worksheets";

/** The root of the object model. */
export class Workbook implements WireObject {
  readonly $type = "Workbook";
  readonly $scalars = ["Name", "IsDirty", "ReadOnly"];
  readonly Name = "Book1.xlsx";
  readonly ReadOnly = false;
  readonly IsDirty = true;

  constructor(
    private readonly book: Book,
    private readonly listeners: Listeners,
    private readonly surroundings: { situation: Situation; answers: LateAnswers | undefined },
  ) {
    book.makers = {
      range: (area) => new Range(book, area),
      worksheet: (sheetId) => new Worksheet(book, sheetId, listeners),
    };
  }

  get Worksheets(): WorksheetCollection {
    return new WorksheetCollection(this.book, this.listeners);
  }

  get Tables(): TableCollection {
    return new TableCollection(this.book, null);
  }

  get Protection(): Protection {
    return new Protection(this.book, null);
  }

  get Names(): NamedItemCollection {
    return new NamedItemCollection(this.book, null);
  }

  get Settings(): SettingCollection {
    return new SettingCollection(this.book);
  }

  get Comments(): CommentCollection {
    return new CommentCollection(this.book);
  }

  get Properties(): DocumentProperties {
    return new DocumentProperties(this.book);
  }

  get Application(): Application {
    return new Application(this.book, this.surroundings.answers);
  }

  GetSelectedRange(): WireObject {
    if (this.surroundings.situation.pictureSelected) {
      throw new HostError("InvalidSelection", "The current selection is invalid for this operation.");
    }
    return this.book.objects.range(this.book.selected());
  }

  GetActiveCell(): WireObject {
    const { sheetId, col, row } = this.book.getters.getActivePosition();
    return this.book.objects.range({ sheetId, zone: { left: col, right: col, top: row, bottom: row } });
  }

  /** How an event's arguments find the range they speak of. */
  _GetRangeForEventByReferenceId(address: string): WireObject {
    return this.book.objects.range(this.eventArea(address));
  }

  _GetRangeOrNullObjectForEventByReferenceId(address: string): WireObject {
    return this._GetRangeForEventByReferenceId(address);
  }

  private eventArea(address: string): Area {
    return this.book.area(address, this.book.getters.getActiveSheetId());
  }
}

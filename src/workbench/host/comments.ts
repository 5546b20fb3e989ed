import { invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { isWireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { Range } from "./range";
import type { Position } from "./spreadsheet";

const COMMENT = "comment/";

/** A cell is known by its sheet's id, which a new name of the sheet does not change. */
export const commentKey = ({ sheetId, col, row }: Position): string => `${COMMENT}${sheetId}/${col}/${row}`;

export interface KeptComment extends Position {
  readonly content: string;
}

/** The comments of every sheet that is still there. */
export function keptComments(book: Book): KeptComment[] {
  return book.keptUnder(COMMENT).flatMap(([rest, content]) => {
    const [sheetId = "", col, row] = rest.split("/");
    if (!book.sheetExists(sheetId)) return [];
    return [{ sheetId, col: Number(col), row: Number(row), content: String(content) }];
  });
}

class Comment implements WireObject {
  readonly $type = "Comment";
  readonly $scalars = ["Id", "Content"];

  constructor(
    private readonly book: Book,
    private readonly position: Position,
  ) {}

  get Id(): string {
    return commentKey(this.position);
  }

  get Content(): string {
    const content = this.book.kept(commentKey(this.position));
    if (typeof content !== "string") throw itemNotFound("the comment has been deleted");
    return content;
  }

  set Content(content: string) {
    this.book.keep(commentKey(this.position), content);
  }

  GetLocation(): WireObject {
    const { sheetId, col, row } = this.position;
    return this.book.objects.range({ sheetId, zone: { left: col, right: col, top: row, bottom: row } });
  }

  Delete(): void {
    this.book.keep(commentKey(this.position), undefined);
  }
}

/** `Excel.CommentCollection` of the workbook. A comment stays at its address when rows are inserted above it. */
export class CommentCollection implements WireCollection {
  readonly $type = "CommentCollection";
  readonly $scalars = [];

  constructor(private readonly book: Book) {}

  $items(): WireObject[] {
    return keptComments(this.book).map((position) => new Comment(this.book, position));
  }

  GetCount(): number {
    return keptComments(this.book).length;
  }

  private position(cell: unknown): Position {
    const area =
      isWireObject(cell) && cell instanceof Range
        ? cell.area
        : this.book.area(String(cell), this.book.getters.getActiveSheetId());
    const { left, top, right, bottom } = area.zone;
    if (left !== right || top !== bottom) throw invalidArgument("a comment belongs to one cell");
    return { sheetId: area.sheetId, col: left, row: top };
  }

  Add(cell: unknown, content: unknown): WireObject {
    const position = this.position(cell);
    if (this.book.kept(commentKey(position)) !== undefined)
      throw invalidArgument("the cell has a comment already");
    this.book.keep(commentKey(position), String(content));
    return new Comment(this.book, position);
  }

  GetItemByCell(cell: unknown): WireObject {
    const position = this.position(cell);
    if (this.book.kept(commentKey(position)) === undefined) throw itemNotFound("the cell has no comment");
    return new Comment(this.book, position);
  }

  GetItemOrNullObject(id: string): WireObject | null {
    return this.$items().find((comment) => comment instanceof Comment && comment.Id === id) ?? null;
  }

  GetItem(id: string): WireObject {
    const comment = this.GetItemOrNullObject(id);
    if (comment === null) throw itemNotFound(`there is no comment ${id}`);
    return comment;
  }
}

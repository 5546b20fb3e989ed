import { invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { leftOf, POINTS_PER_PIXEL, topOf } from "./points";

/** What the spreadsheet's figures have no place for. */
export interface KeptShape {
  readonly name: string;
  readonly altTextTitle: string;
  readonly altTextDescription: string;
  readonly lockAspectRatio: boolean;
}

export const SHAPE = "shape/";

const unnamed: KeptShape = {
  name: "Picture",
  altTextTitle: "",
  altTextDescription: "",
  lockAspectRatio: true,
};

export const keptShape = (book: Book, id: string): KeptShape =>
  (book.kept(SHAPE + id) as KeptShape | undefined) ?? unnamed;

/** The beginnings of a PNG and a JPEG file, in base 64. */
const KINDS = [
  ["iVBORw0KGgo", "image/png"],
  ["/9j/", "image/jpeg"],
] as const;

/** A picture in its own size, until it is told another. */
const FIRST_SIZE = { width: 200, height: 150 };

/** A picture on a sheet. */
export class Shape implements WireObject {
  readonly $type = "Shape";
  readonly $scalars = [
    "Id",
    "Name",
    "Left",
    "Top",
    "Width",
    "Height",
    "AltTextTitle",
    "AltTextDescription",
    "LockAspectRatio",
    "Type",
  ];
  readonly Type = "Image";

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
    readonly Id: string,
  ) {}

  private get figure() {
    const figure = this.book.getters.getFigure(this.sheetId, this.Id);
    if (!figure) throw itemNotFound("the shape has been deleted");
    return figure;
  }

  private get kept(): KeptShape {
    return keptShape(this.book, this.Id);
  }

  private keep(change: Partial<KeptShape>): void {
    this.book.keep(SHAPE + this.Id, { ...this.kept, ...change });
  }

  private update(change: object): void {
    const { sheetId, Id: figureId } = this;
    const { col, row, offset } = this.figure;
    this.book.run("UPDATE_FIGURE", { sheetId, figureId, col, row, offset, ...change });
  }

  get Name(): string {
    return this.kept.name;
  }

  set Name(name: string) {
    this.keep({ name });
  }

  get AltTextTitle(): string {
    return this.kept.altTextTitle;
  }

  set AltTextTitle(altTextTitle: string) {
    this.keep({ altTextTitle });
  }

  get AltTextDescription(): string {
    return this.kept.altTextDescription;
  }

  set AltTextDescription(altTextDescription: string) {
    this.keep({ altTextDescription });
  }

  get LockAspectRatio(): boolean {
    return this.kept.lockAspectRatio;
  }

  set LockAspectRatio(lockAspectRatio: boolean) {
    this.keep({ lockAspectRatio });
  }

  get Left(): number {
    return leftOf(this.book, this.sheetId, this.figure.col) + this.figure.offset.x * POINTS_PER_PIXEL;
  }

  set Left(points: number) {
    const { sheetId } = this;
    let col = 0;
    while (leftOf(this.book, sheetId, col + 1) <= points) col++;
    this.book.makeRoom({ sheetId, zone: { left: 0, top: 0, right: col, bottom: 0 } });
    const x = Math.round((points - leftOf(this.book, sheetId, col)) / POINTS_PER_PIXEL);
    this.update({ col, offset: { ...this.figure.offset, x } });
  }

  get Top(): number {
    return topOf(this.book, this.sheetId, this.figure.row) + this.figure.offset.y * POINTS_PER_PIXEL;
  }

  set Top(points: number) {
    const { sheetId } = this;
    let row = 0;
    while (topOf(this.book, sheetId, row + 1) <= points) row++;
    this.book.makeRoom({ sheetId, zone: { left: 0, top: 0, right: 0, bottom: row } });
    const y = Math.round((points - topOf(this.book, sheetId, row)) / POINTS_PER_PIXEL);
    this.update({ row, offset: { ...this.figure.offset, y } });
  }

  get Width(): number {
    return this.figure.width * POINTS_PER_PIXEL;
  }

  set Width(points: number) {
    this.resize("width", points);
  }

  get Height(): number {
    return this.figure.height * POINTS_PER_PIXEL;
  }

  set Height(points: number) {
    this.resize("height", points);
  }

  private resize(side: "width" | "height", points: number): void {
    if (!(points >= 0)) throw invalidArgument(`${points} is no size`);
    const { width, height } = this.figure;
    const now = { width, height };
    const wanted = points / POINTS_PER_PIXEL;
    const other = side === "width" ? "height" : "width";
    const scaled = this.kept.lockAspectRatio ? (now[other] * wanted) / now[side] : now[other];
    this.update({ ...now, [side]: wanted, [other]: scaled });
  }

  Delete(): void {
    const { sheetId, figure } = this;
    this.book.run("DELETE_FIGURE", { sheetId, figureId: figure.id });
    this.book.keep(SHAPE + this.Id, undefined);
  }
}

export class ShapeCollection implements WireCollection {
  readonly $type = "ShapeCollection";
  readonly $scalars = [];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
  ) {}

  $items(): Shape[] {
    return this.book.getters
      .getFigures(this.sheetId)
      .filter(({ tag }) => tag === "image")
      .map(({ id }) => new Shape(this.book, this.sheetId, id));
  }

  GetCount(): number {
    return this.$items().length;
  }

  GetItemOrNullObject(key: string): Shape | null {
    return this.$items().find(({ Id, Name }) => Id === key || Name === key) ?? null;
  }

  GetItem(key: string): Shape {
    const found = this.GetItemOrNullObject(key);
    if (found === null) throw itemNotFound(`there is no shape "${key}"`);
    return found;
  }

  GetItemAt(index: number): Shape {
    const found = this.$items()[index];
    if (found === undefined) throw itemNotFound(`there is no shape ${index}`);
    return found;
  }

  AddImage(base64: string): Shape {
    const { sheetId } = this;
    const mimetype = KINDS.find(([start]) => base64.startsWith(start))?.[1];
    if (mimetype === undefined) throw invalidArgument("the image is neither a PNG nor a JPEG in base 64");
    const figureId = this.book.newId("image-");
    this.book.run("CREATE_IMAGE", {
      sheetId,
      figureId,
      col: 0,
      row: 0,
      offset: { x: 0, y: 0 },
      size: FIRST_SIZE,
      definition: { path: `data:${mimetype};base64,${base64}`, size: FIRST_SIZE, mimetype },
    });
    const name = `Picture ${this.GetCount()}`;
    this.book.keep(SHAPE + figureId, { ...unnamed, name });
    return new Shape(this.book, sheetId, figureId);
  }
}

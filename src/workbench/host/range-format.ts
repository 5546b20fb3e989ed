import { HostError, invalidArgument } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { isUnbounded } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import { borderSides, RangeBorder } from "./range-border";
import type { Style } from "./spreadsheet";
import { POINTS_PER_PIXEL } from "./points";

/** Style entries the spreadsheet carries along with a cell although it does not draw them. */
interface ExtraStyle {
  fontName?: string | undefined;
  indent?: number | undefined;
  locked?: boolean | undefined;
}

export type HostStyle = Style & ExtraStyle;

const HORIZONTAL = { General: undefined, Left: "left", Center: "center", Right: "right" } as const;
const VERTICAL = { Top: "top", Center: "middle", Bottom: "bottom" } as const;

const keyOf = (map: Readonly<Record<string, string | undefined>>, value: string | undefined) =>
  Object.keys(map).find((key) => map[key] === value);

/** Reads a style over a range: the common answer, or null where the cells differ. */
abstract class Styled {
  constructor(
    protected readonly book: Book,
    protected readonly area: Area,
  ) {}

  protected common<Value>(read: (style: HostStyle) => Value): Value | null {
    const zone = this.book.present(this.area);
    if (!zone) return read({});
    const { sheetId } = this.area;
    const first = read(this.book.style({ sheetId, col: zone.left, row: zone.top }));
    for (let row = zone.top; row <= zone.bottom; row++) {
      for (let col = zone.left; col <= zone.right; col++) {
        if (read(this.book.style({ sheetId, col, row })) !== first) return null;
      }
    }
    return first;
  }

  protected apply(style: HostStyle): void {
    this.book.setStyle(this.area, style);
  }
}

const hexColor = (color: string): string => {
  const short = /^#([0-9a-f])([0-9a-f])([0-9a-f])$/i.exec(color);
  if (short)
    return `#${short
      .slice(1)
      .map((digit) => digit + digit)
      .join("")}`.toUpperCase();
  if (/^#[0-9a-f]{6}$/i.test(color)) return color.toUpperCase();
  throw invalidArgument(`"${color}" is no colour; write it as #RRGGBB`);
};

export class RangeFormat extends Styled implements WireObject {
  readonly $type = "RangeFormat";
  readonly $scalars = [
    "ColumnWidth",
    "HorizontalAlignment",
    "IndentLevel",
    "RowHeight",
    "VerticalAlignment",
    "WrapText",
  ];

  get Fill(): RangeFill {
    return new RangeFill(this.book, this.area);
  }

  get Font(): RangeFont {
    return new RangeFont(this.book, this.area);
  }

  get Borders(): RangeBorderCollection {
    return new RangeBorderCollection(this.book, this.area);
  }

  get Protection(): FormatProtection {
    return new FormatProtection(this.book, this.area);
  }

  get HorizontalAlignment(): string | null {
    return this.common((style) => keyOf(HORIZONTAL, style.align) ?? "General");
  }

  set HorizontalAlignment(alignment: string) {
    if (!(alignment in HORIZONTAL)) {
      const message = `This spreadsheet has no horizontal alignment "${alignment}".`;
      throw new HostError("NotImplemented", message, 501);
    }
    this.apply({ align: HORIZONTAL[alignment as keyof typeof HORIZONTAL] });
  }

  get VerticalAlignment(): string | null {
    return this.common((style) => keyOf(VERTICAL, style.verticalAlign) ?? "Bottom");
  }

  set VerticalAlignment(alignment: string) {
    if (!(alignment in VERTICAL)) {
      const message = `This spreadsheet has no vertical alignment "${alignment}".`;
      throw new HostError("NotImplemented", message, 501);
    }
    this.apply({ verticalAlign: VERTICAL[alignment as keyof typeof VERTICAL] });
  }

  get WrapText(): boolean | null {
    return this.common((style) => style.wrapping === "wrap");
  }

  set WrapText(wrap: boolean) {
    this.apply({ wrapping: wrap ? "wrap" : "overflow" });
  }

  get IndentLevel(): number | null {
    return this.common((style) => style.indent ?? 0);
  }

  set IndentLevel(indent: number) {
    this.apply({ indent });
  }

  get ColumnWidth(): number | null {
    return this.size("COL", this.area.zone.left, this.area.zone.right);
  }

  set ColumnWidth(points: number) {
    this.resize("COL", points);
  }

  get RowHeight(): number | null {
    return this.size("ROW", this.area.zone.top, this.area.zone.bottom);
  }

  set RowHeight(points: number) {
    this.resize("ROW", points);
  }

  AutofitColumns(): void {
    this.book.settle();
    const zone = this.book.roomFor(this.area);
    const cols = Array.from({ length: zone.right - zone.left + 1 }, (_, index) => zone.left + index);
    this.book.run("AUTORESIZE_COLUMNS", { sheetId: this.area.sheetId, cols });
  }

  AutofitRows(): void {
    this.book.settle();
    const zone = this.book.roomFor(this.area);
    const rows = Array.from({ length: zone.bottom - zone.top + 1 }, (_, index) => zone.top + index);
    this.book.run("AUTORESIZE_ROWS", { sheetId: this.area.sheetId, rows });
  }

  private size(dimension: "COL" | "ROW", first: number, last: number): number | null {
    const { sheetId } = this.area;
    const present = this.book.sheetZone(sheetId);
    const end = Math.min(last, dimension === "COL" ? present.right : present.bottom);
    const { getters } = this.book;
    const sizeOf = (index: number) =>
      (dimension === "COL" ? getters.getColSize(sheetId, index) : getters.getRowSize(sheetId, index)) *
      POINTS_PER_PIXEL;
    const size = sizeOf(Math.min(first, end));
    for (let index = first; index <= end; index++) if (sizeOf(index) !== size) return null;
    return size;
  }

  private resize(dimension: "COL" | "ROW", points: number): void {
    if (!(points >= 0)) throw invalidArgument(`${points} is no size`);
    if (isUnbounded(this.area.zone)) this.growAlong(dimension);
    const zone = this.book.roomFor(this.area);
    const [first, last] = dimension === "COL" ? [zone.left, zone.right] : [zone.top, zone.bottom];
    const elements = Array.from({ length: last - first + 1 }, (_, index) => first + index);
    const size = Math.round(points / POINTS_PER_PIXEL);
    this.book.run("RESIZE_COLUMNS_ROWS", { sheetId: this.area.sheetId, dimension, elements, size });
  }

  /** A whole column beyond the sheet's present width can be given a width as well. */
  private growAlong(dimension: "COL" | "ROW"): void {
    const { sheetId, zone } = this.area;
    const present = this.book.sheetZone(sheetId);
    if (dimension === "COL" && zone.bottom > present.bottom && zone.left > 0) {
      this.book.makeRoom({ sheetId, zone: { ...zone, bottom: present.bottom } });
    }
  }
}

class RangeFill extends Styled implements WireObject {
  readonly $type = "RangeFill";
  readonly $scalars = ["Color"];

  get Color(): string | null {
    return this.common((style) => (style.fillColor ? hexColor(style.fillColor) : "#FFFFFF"));
  }

  set Color(color: string) {
    this.apply({ fillColor: hexColor(color) });
  }

  Clear(): void {
    this.apply({ fillColor: "" });
  }
}

class RangeFont extends Styled implements WireObject {
  readonly $type = "RangeFont";
  readonly $scalars = ["Bold", "Color", "Italic", "Name", "Size", "Strikethrough", "Underline"];

  get Bold(): boolean | null {
    return this.common((style) => style.bold ?? false);
  }

  set Bold(bold: boolean) {
    this.apply({ bold });
  }

  get Italic(): boolean | null {
    return this.common((style) => style.italic ?? false);
  }

  set Italic(italic: boolean) {
    this.apply({ italic });
  }

  get Strikethrough(): boolean | null {
    return this.common((style) => style.strikethrough ?? false);
  }

  set Strikethrough(strikethrough: boolean) {
    this.apply({ strikethrough });
  }

  get Underline(): string | null {
    return this.common((style) => (style.underline ? "Single" : "None"));
  }

  set Underline(underline: string) {
    this.apply({ underline: underline !== "None" });
  }

  get Color(): string | null {
    return this.common((style) => (style.textColor ? hexColor(style.textColor) : "#000000"));
  }

  set Color(color: string) {
    this.apply({ textColor: hexColor(color) });
  }

  get Size(): number | null {
    return this.common((style) => style.fontSize ?? 10);
  }

  set Size(fontSize: number) {
    this.apply({ fontSize });
  }

  get Name(): string | null {
    return this.common((style) => style.fontName ?? "Calibri");
  }

  set Name(fontName: string) {
    this.apply({ fontName });
  }
}

class FormatProtection extends Styled implements WireObject {
  readonly $type = "FormatProtection";
  readonly $scalars = ["Locked"];

  get Locked(): boolean | null {
    return this.common((style) => style.locked ?? true);
  }

  set Locked(locked: boolean) {
    this.apply({ locked });
  }
}

class RangeBorderCollection implements WireCollection {
  readonly $type = "RangeBorderCollection";
  readonly $scalars = ["Count"];

  constructor(
    private readonly book: Book,
    private readonly area: Area,
  ) {}

  get Count(): number {
    return borderSides.length;
  }

  $items(): WireObject[] {
    return borderSides.map((side) => new RangeBorder(this.book, this.area, side));
  }

  GetItem(side: string): WireObject {
    const known = borderSides.find((other) => other === side);
    if (!known) {
      throw new HostError("NotImplemented", `This spreadsheet draws no border "${side}".`, 501);
    }
    return new RangeBorder(this.book, this.area, known);
  }
}

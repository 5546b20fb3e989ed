import { cellName } from "../host/area";
import type { Book } from "../host/book";
import { FORMAT } from "../host/book";
import { drawnFormat } from "../host/number-format";
import type { HostStyle } from "../host/range-format";
import { TEXT_FORMAT } from "../host/values";
import { all, children, create, first, setAttributes } from "./dom";
import type { Attributes } from "./dom";

/** The parts of a style the spreadsheet carries along without writing them. */
export interface ExtraStyle {
  fontName?: string;
  indent?: number;
  locked?: boolean;
  /** The side a number stands on is written even where it is the one that it takes by itself. */
  align?: "left" | "right";
}

/** Writes number formats as they were given, not as they are drawn. */
export function writeNumberFormats(book: Book, styles: Document): void {
  for (const format of all(styles, "numFmt")) {
    const code = format.getAttribute("formatCode") ?? "";
    format.setAttribute("formatCode", book.writtenFormat(code));
  }
}

/** Puts drawable number formats in place of the written ones, and answers the written ones to be kept. */
export function readNumberFormats(styles: Document): Record<string, string> {
  const kept: Record<string, string> = {};
  for (const format of all(styles, "numFmt")) {
    const written = format.getAttribute("formatCode") ?? "";
    const drawn = drawnFormat(written);
    if (!drawn || drawn === written) continue;
    format.setAttribute("formatCode", drawn);
    kept[FORMAT + drawn] = written;
  }
  return kept;
}

/** Adds cell formats for the styles that the spreadsheet does not write, as cells need them. */
export class ExtraStyles {
  private readonly made = new Map<string, number>();

  constructor(
    private readonly book: Book,
    private readonly styles: Document,
  ) {}

  write(sheetId: string, sheet: Document): void {
    const cells = new Map(all(sheet, "c").map((cell) => [cell.getAttribute("r"), cell]));
    for (const cell of this.book.getters.getCells(sheetId)) {
      const { fontName, indent, locked, align } = (cell.style ?? {}) as HostStyle;
      const { col, row } = this.book.getters.getCellPosition(cell.id);
      const element = cells.get(cellName(col, row));
      const extra: ExtraStyle = {
        ...(fontName !== undefined && { fontName }),
        ...(indent !== undefined && { indent }),
        ...(locked !== undefined && { locked }),
        ...((align === "right" || align === "left") && !cell.isFormula && { align }),
      };
      if (!element || Object.keys(extra).length === 0) continue;
      element.setAttribute("s", String(this.format(Number(element.getAttribute("s") ?? 0), extra)));
    }
  }

  private format(base: number, extra: ExtraStyle): number {
    const key = JSON.stringify([base, extra]);
    const known = this.made.get(key);
    if (known !== undefined) return known;
    const formats = first(this.styles, "cellXfs");
    const origin = formats && children(formats)[base];
    if (!formats || !origin) return base;
    const format = origin.cloneNode(true) as Element;
    if (extra.indent !== undefined) this.part(format, "alignment", { indent: extra.indent });
    if (extra.align !== undefined) this.part(format, "alignment", { horizontal: extra.align });
    if (extra.locked !== undefined) this.part(format, "protection", { locked: extra.locked ? 1 : 0 });
    if (extra.fontName !== undefined) this.font(format, extra.fontName);
    formats.append(format);
    const index = children(formats).length - 1;
    formats.setAttribute("count", String(index + 1));
    this.made.set(key, index);
    return index;
  }

  private part(format: Element, name: "alignment" | "protection", attributes: Attributes): void {
    const part = first(format, name) ?? create(this.styles, name);
    setAttributes(part, attributes);
    if (name === "alignment") format.prepend(part);
    else format.append(part);
    format.setAttribute(name === "alignment" ? "applyAlignment" : "applyProtection", "1");
  }

  private font(format: Element, name: string): void {
    const fonts = first(this.styles, "fonts");
    const origin = fonts && children(fonts)[Number(format.getAttribute("fontId") ?? 0)];
    if (!fonts || !origin) return;
    const font = origin.cloneNode(true) as Element;
    const written = first(font, "name") ?? create(this.styles, "name");
    written.setAttribute("val", name);
    font.append(written);
    fonts.append(font);
    const count = children(fonts).length;
    fonts.setAttribute("count", String(count));
    setAttributes(format, { fontId: count - 1, applyFont: 1 });
  }
}

/** What the spreadsheet does not read of a cell format, and whether the cells that have it hold text. */
export interface CellStyle {
  extra: ExtraStyle;
  isText: boolean;
}

/** The number of the built-in format for text. */
const TEXT_NUMBER = "49";

/** The cell formats of a file, by their numbers; the default font is none. */
export function readCellStyles(styles: Document): CellStyle[] {
  const fonts = first(styles, "fonts");
  const fontNames = fonts ? children(fonts).map((font) => first(font, "name")?.getAttribute("val")) : [];
  const textNumbers = all(styles, "numFmt").flatMap((format) =>
    format.getAttribute("formatCode") === TEXT_FORMAT ? format.getAttribute("numFmtId") : [],
  );
  const formats = first(styles, "cellXfs");
  return (formats ? children(formats) : []).map((format) => {
    const indent = Number(first(format, "alignment")?.getAttribute("indent") ?? 0);
    const unlocked = first(format, "protection")?.getAttribute("locked") === "0";
    const fontName = fontNames[Number(format.getAttribute("fontId") ?? 0)];
    const number = format.getAttribute("numFmtId");
    return {
      isText: number === TEXT_NUMBER || textNumbers.includes(number),
      extra: {
        ...(fontName && fontName !== fontNames[0] && { fontName }),
        ...(indent && { indent }),
        ...(unlocked && { locked: false }),
      },
    };
  });
}

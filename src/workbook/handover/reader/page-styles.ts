/** The looks of the cells of a few pages, and no look more: named styles and formats of other sheets stay behind. */
import type { Scalar } from "../../host";
import { escapeXml } from "../file/xml";
import { walk } from "../file/xml-walk";
import type { XmlElement } from "../file/xml-element";
import { attributesOf, sifted } from "./sift";
import type { Allowed } from "./sift";
import { shownBy } from "./number-format";
import { isFontName } from "./theme";

const colour = ["rgb", "theme", "tint", "indexed", "auto"] as const;

const edge = ["style"] as const;

const looks: Readonly<Record<"font" | "fill" | "border", Allowed>> = {
  font: {
    font: [],
    b: ["val"],
    i: ["val"],
    strike: ["val"],
    outline: ["val"],
    shadow: ["val"],
    u: ["val"],
    vertAlign: ["val"],
    sz: ["val"],
    color: colour,
    family: ["val"],
    charset: ["val"],
    scheme: ["val"],
  },
  fill: {
    fill: [],
    patternFill: ["patternType"],
    fgColor: colour,
    bgColor: colour,
    gradientFill: ["type", "degree", "left", "right", "top", "bottom"],
    stop: ["position"],
    color: colour,
  },
  border: {
    border: ["diagonalUp", "diagonalDown", "outline"],
    left: edge,
    right: edge,
    start: edge,
    end: edge,
    top: edge,
    bottom: edge,
    diagonal: edge,
    vertical: edge,
    horizontal: edge,
    color: colour,
  },
};

const alignment = [
  "horizontal",
  "vertical",
  "textRotation",
  "wrapText",
  "indent",
  "relativeIndent",
  "justifyLastLine",
  "shrinkToFit",
  "readingOrder",
] as const;

/** Formats below this number are the program's own. */
const firstOwnFormat = 164;

interface FileLook {
  readonly format: number;
  readonly font: number;
  readonly fill: number;
  readonly border: number;
  readonly alignment: string;
}

export const white = "FFFFFF";

/** A colour where it can be told without the theme: white is told however it is written. */
export function colourOf(attributes: Readonly<Record<string, string>>): string | undefined {
  const { rgb, indexed, theme, tint } = attributes;
  if (rgb !== undefined) return rgb.slice(-6).toUpperCase();
  if (indexed === "1" || indexed === "9" || (theme === "0" && tint === undefined)) return white;
  return theme === undefined && indexed === undefined ? undefined : JSON.stringify([theme, indexed, tint]);
}

interface FileFont {
  readonly xml: string;
  readonly colour: string | undefined;
}

interface FileFill {
  readonly xml: string;
  readonly colour: string | undefined;
}

/** Elements of a kind that are asked for by number, numbered anew in the order in which they are asked for. */
class Kept {
  private readonly numbers = new Map<string, number>();

  constructor(...first: readonly string[]) {
    for (const one of first) this.numberOf(one);
  }

  numberOf(xml: string): number {
    const known = this.numbers.get(xml) ?? this.numbers.size;
    this.numbers.set(xml, known);
    return known;
  }

  list(name: string): string {
    return `<${name} count="${this.numbers.size}">${[...this.numbers.keys()].join("")}</${name}>`;
  }
}

export class PageStyles {
  private readonly codes = new Map<number, string>();
  private readonly fileFonts: FileFont[] = [];
  private readonly fileFills: FileFill[] = [];
  private readonly fileBorders: string[] = [];
  private readonly fileLooks: FileLook[] = [];

  private readonly formats = new Map<string, number>();
  private readonly fonts: Kept;
  private readonly fills = new Kept(
    '<fill><patternFill patternType="none"/></fill>',
    '<fill><patternFill patternType="gray125"/></fill>',
  );
  private readonly borders = new Kept("<border><left/><right/><top/><bottom/><diagonal/></border>");
  private readonly kept: Kept;

  constructor(part: string, xml: string) {
    if (part !== "") walk(part, xml, { close: (element) => this.read(part, xml, element) });
    this.fonts = new Kept(this.fileFonts[0]?.xml ?? '<font><sz val="11"/><name val="Calibri"/></font>');
    this.kept = new Kept();
    this.styleOf(undefined, null);
  }

  private read(part: string, xml: string, element: XmlElement): void {
    const { name, parent, attributes } = element;
    const raw = (): string => xml.slice(element.start, element.end);
    if (name === "numFmt" && parent?.name === "numFmts")
      this.codes.set(Number(attributes.numFmtId), attributes.formatCode ?? "");
    else if (name === "font" && parent?.name === "fonts") this.fileFonts.push(fontOf(part, raw()));
    else if (name === "fill" && parent?.name === "fills") this.fileFills.push(fillOf(part, raw()));
    else if (name === "border" && parent?.name === "borders")
      this.fileBorders.push(sifted(part, raw(), looks.border));
    else if (name === "xf" && parent?.name === "cellXfs") this.fileLooks.push(lookOf(element, part, raw()));
  }

  /** Whether a cell of a look seems empty though it holds a value: by its format, or in the colour of its ground. */
  hides(style: number | undefined, value: Scalar): boolean {
    const look = this.fileLooks[style ?? 0];
    if (look === undefined) return false;
    const ink = this.fileFonts[look.font]?.colour;
    const fill = this.fileFills[look.fill];
    const ground = fill === undefined ? white : fill.colour;
    const own = this.codes.get(look.format);
    return (ink !== undefined && ink === ground) || (own !== undefined && shownBy(own, value).hidesValue);
  }

  /** Whether a cell's format, left whole, would say more than it shows. */
  tells(style: number | undefined, value: Scalar): boolean {
    const look = this.fileLooks[style ?? 0];
    const own = this.codes.get(look?.format ?? 0);
    return own !== undefined && shownBy(own, value).tells;
  }

  /** The number of a cell's look in the new file. */
  styleOf(style: number | undefined, value: Scalar): number {
    const look = this.fileLooks[style ?? 0] ?? { format: 0, font: 0, fill: 0, border: 0, alignment: "" };
    const format = this.formatOf(look, value);
    const font = this.fonts.numberOf(this.fileFonts[look.font]?.xml ?? "<font/>");
    const fill = this.fills.numberOf(
      this.fileFills[look.fill]?.xml ?? '<fill><patternFill patternType="none"/></fill>',
    );
    const border = this.borders.numberOf(this.fileBorders[look.border] ?? "<border/>");
    return this.kept.numberOf(
      `<xf numFmtId="${format}" fontId="${font}" fillId="${fill}" borderId="${border}" xfId="0" applyNumberFormat="1" applyFont="1" applyFill="1" applyBorder="1" applyAlignment="1">${look.alignment}</xf>`,
    );
  }

  private formatOf(look: FileLook, value: Scalar): number {
    const own = this.codes.get(look.format);
    if (own === undefined) return look.format < firstOwnFormat ? look.format : 0;
    const { code } = shownBy(own, value);
    if (code === "General") return 0;
    const known = this.formats.get(code) ?? firstOwnFormat + this.formats.size;
    this.formats.set(code, known);
    return known;
  }

  get xml(): string {
    const formats = [...this.formats]
      .map(([code, id]) => `<numFmt numFmtId="${id}" formatCode="${escapeXml(code)}"/>`)
      .join("");
    return [
      `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`,
      formats === "" ? "" : `<numFmts count="${this.formats.size}">${formats}</numFmts>`,
      this.fonts.list("fonts"),
      this.fills.list("fills"),
      this.borders.list("borders"),
      '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>',
      this.kept.list("cellXfs"),
      '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>',
    ].join("");
  }
}

function fontOf(part: string, xml: string): FileFont {
  let name = "Calibri";
  let colour: string | undefined;
  walk(part, xml, {
    open(element) {
      if (element.name === "name" && isFontName.test(element.attributes.val ?? ""))
        name = element.attributes.val ?? name;
      if (element.name === "color") colour = colourOf(element.attributes);
    },
  });
  const look = sifted(part, xml, looks.font);
  return { xml: look.replace(/<\/font>$/, `<name val="${escapeXml(name)}"/></font>`), colour };
}

function fillOf(part: string, xml: string): FileFill {
  let pattern = "none";
  let front: string | undefined;
  walk(part, xml, {
    open({ name, attributes }) {
      if (name === "gradientFill") pattern = name;
      if (name === "patternFill") pattern = attributes.patternType ?? "none";
      if (name === "fgColor") front = colourOf(attributes);
    },
  });
  const colour = pattern === "none" ? white : pattern === "solid" ? front : undefined;
  return { xml: sifted(part, xml, looks.fill), colour };
}

function lookOf({ attributes }: XmlElement, part: string, xml: string): FileLook {
  let aligned = "";
  walk(part, xml, {
    open(element) {
      if (element.name === "alignment")
        aligned = `<alignment${attributesOf(element.attributes, alignment)}/>`;
    },
  });
  const number = (name: string): number => Number(attributes[name] ?? 0);
  return {
    format: number("numFmtId"),
    font: number("fontId"),
    fill: number("fillId"),
    border: number("borderId"),
    alignment: aligned,
  };
}

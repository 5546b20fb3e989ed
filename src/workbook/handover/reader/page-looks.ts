/** How a sheet of a file looks apart from its cells' contents: read once, told again with nothing else in it. */
import type { Block, Pieces } from "../../host";
import { blockOf } from "../../host";
import type { XmlElement } from "../file/xml-element";
import { escapeXml } from "../file/xml";
import { walking } from "../file/xml-walk";
import { placeKey } from "../file/cell-store";
import { attributesOf } from "./sift";

type Attributes = Readonly<Record<string, string>>;

interface ColumnLook {
  readonly first: number;
  readonly last: number;
  readonly attributes: Attributes;
}

const kept: Readonly<Record<string, readonly string[]>> = {
  tabColor: ["rgb", "theme", "tint", "indexed"],
  pageSetUpPr: ["fitToPage"],
  sheetView: ["showGridLines", "showZeros", "rightToLeft", "zoomScale"],
  pane: ["xSplit", "ySplit", "topLeftCell", "activePane", "state"],
  sheetFormatPr: ["baseColWidth", "defaultColWidth", "defaultRowHeight", "customHeight"],
  printOptions: ["horizontalCentered", "verticalCentered", "gridLines", "headings"],
  pageMargins: ["left", "right", "top", "bottom", "header", "footer"],
  pageSetup: [
    "paperSize",
    "orientation",
    "scale",
    "fitToWidth",
    "fitToHeight",
    "pageOrder",
    "firstPageNumber",
    "useFirstPageNumber",
    "blackAndWhite",
    "cellComments",
  ],
};

const isTrue = (value: string | undefined): boolean => value === "1" || value === "true";

/** Narrower or lower than this nobody sees what a cell holds: characters, and points. */
const least = { width: 0.4, height: 1.5 } as const;

const unseenColumn = ({ hidden, width }: Attributes): boolean =>
  isTrue(hidden) || (width !== undefined && Number(width) < least.width);

const unseenRow = ({ hidden, ht }: Attributes): boolean =>
  isTrue(hidden) || (ht !== undefined && Number(ht) < least.height);

/** Views that somebody kept have headers and breaks of their own, and what newer programs add may be anything. */
function isApart({ parent }: XmlElement): boolean {
  for (let owner = parent; owner !== undefined; owner = owner.parent)
    if (owner.name === "customSheetViews" || owner.name === "extLst") return true;
  return false;
}

export class PageLooks {
  private readonly single = new Map<string, Attributes>();
  readonly rows = new Map<number, Attributes>();
  readonly columns: ColumnLook[] = [];
  readonly styles = new Map<number, number>();
  readonly merges: Block[] = [];
  private readonly breaks: Record<"rowBreaks" | "colBreaks", Attributes[]> = { rowBreaks: [], colBreaks: [] };
  private readonly texts = new Map<string, string>();
  private headings: Attributes = {};
  private readonly covered = new Set<number>();

  static *reading(part: string, xml: string): Pieces<PageLooks> {
    const looks = new PageLooks();
    let row = -1;
    let column = -1;
    yield* walking(part, xml, {
      open(element) {
        const { name, attributes, parent } = element;
        if (name === "row" && parent?.name === "sheetData") {
          row = attributes.r === undefined ? row + 1 : Number(attributes.r) - 1;
          column = -1;
          looks.rows.set(row, attributes);
        } else if (name === "c" && parent?.name === "row") {
          column = attributes.r === undefined ? column + 1 : (blockOf(attributes.r)?.left ?? column + 1);
          if (attributes.s !== undefined) looks.styles.set(placeKey(row, column), Number(attributes.s));
        } else looks.read(element);
      },
      close(element) {
        const { name, parent, text } = element;
        if (parent?.name === "headerFooter" && !isApart(element)) looks.texts.set(name, text);
      },
    });
    for (const block of looks.merges) looks.cover(block);
    return looks;
  }

  private read(element: XmlElement): void {
    const { name, attributes, parent } = element;
    if (isApart(element)) return;
    if (name === "col" && parent?.name === "cols")
      this.columns.push({ first: Number(attributes.min) - 1, last: Number(attributes.max) - 1, attributes });
    else if (name === "mergeCell") {
      const block = blockOf(attributes.ref ?? "");
      if (block !== undefined) this.merges.push(block);
    } else if (name === "brk") {
      const list = parent?.name;
      if (list === "rowBreaks" || list === "colBreaks") this.breaks[list].push(attributes);
    } else if (name === "headerFooter") this.headings = attributes;
    else if (name in kept && !this.single.has(name)) this.single.set(name, attributes);
  }

  /** No sheet's merged cells are so many that a person would have merged them. */
  private cover({ top, left, bottom, right }: Block): void {
    const most = 100_000;
    for (let row = top; row <= Math.min(bottom, top + most); row++)
      for (let column = left; column <= Math.min(right, left + most); column++) {
        if (this.covered.size > most) return;
        if (row !== top || column !== left) this.covered.add(placeKey(row, column));
      }
  }

  /** Whether nobody sees what a cell holds: its row or column is hidden, or another cell lies over it. */
  isUnseen(row: number, column: number): boolean {
    const { zeroHeight } = this.single.get("sheetFormatPr") ?? {};
    const look = this.rows.get(row);
    return (
      this.covered.has(placeKey(row, column)) ||
      (look === undefined ? isTrue(zeroHeight) : unseenRow(look)) ||
      this.columns.some(
        ({ first, last, attributes }) => column >= first && column <= last && unseenColumn(attributes),
      )
    );
  }

  /** An element of the page with those of its attributes that are looks, and nothing inside. */
  element(name: string): string {
    const attributes = this.single.get(name);
    return attributes === undefined ? "" : `<${name}${attributesOf(attributes, kept[name] ?? [])}/>`;
  }

  get start(): string {
    const view = attributesOf(this.single.get("sheetView") ?? {}, kept.sheetView ?? []);
    return [
      `<sheetPr>${this.element("tabColor")}${this.element("pageSetUpPr")}</sheetPr>`,
      `<sheetViews><sheetView${view} workbookViewId="0">${this.element("pane")}</sheetView></sheetViews>`,
      this.element("sheetFormatPr"),
    ].join("");
  }

  /** Merged cells, and how the page prints. */
  get end(): string {
    return [
      this.element("printOptions"),
      this.element("pageMargins"),
      this.pageSetup,
      this.headerFooter,
      this.breakList("rowBreaks"),
      this.breakList("colBreaks"),
    ].join("");
  }

  /** A sheet counts its own pages, unless it says how many there are in the whole file. */
  private get pageSetup(): string {
    const setup = this.element("pageSetup");
    const counts = [...this.texts.values()].some((text) => text.includes("&N"));
    if (counts || setup.includes("useFirstPageNumber")) return setup;
    const own = ' firstPageNumber="1" useFirstPageNumber="1"/>';
    return setup === "" ? `<pageSetup${own}` : setup.replace(/\/>$/, own);
  }

  /** Headers of first and even pages are printed only where the sheet says so; a picture in one is left out. */
  private get headerFooter(): string {
    const wanted = [
      "oddHeader",
      "oddFooter",
      ...(isTrue(this.headings.differentOddEven) ? ["evenHeader", "evenFooter"] : []),
      ...(isTrue(this.headings.differentFirst) ? ["firstHeader", "firstFooter"] : []),
    ];
    const texts = wanted.flatMap((name) => {
      const text = this.texts.get(name)?.replaceAll("&G", "");
      return text === undefined || text === "" ? [] : [`<${name}>${escapeXml(text)}</${name}>`];
    });
    const how = attributesOf(this.headings, [
      "differentOddEven",
      "differentFirst",
      "scaleWithDoc",
      "alignWithMargins",
    ]);
    return texts.length === 0 ? "" : `<headerFooter${how}>${texts.join("")}</headerFooter>`;
  }

  private breakList(name: "rowBreaks" | "colBreaks"): string {
    const breaks = this.breaks[name];
    if (breaks.length === 0) return "";
    const all = breaks.map((one) => `<brk${attributesOf(one, ["id", "min", "max", "man"])}/>`).join("");
    return `<${name} count="${breaks.length}" manualBreakCount="${breaks.length}">${all}</${name}>`;
  }
}

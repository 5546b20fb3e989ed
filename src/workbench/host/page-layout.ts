import type { WireObject } from "../protocol/wire-object";
import type { Area } from "./area";
import type { Book } from "./book";

export interface PageZoom {
  scale?: number;
  horizontalFitToPages?: number;
  verticalFitToPages?: number;
}

/** How a sheet prints. The spreadsheet knows nothing of it: it is kept beside it and written to the file. */
export interface KeptLayout {
  orientation: string;
  paperSize: string;
  zoom: PageZoom;
  /** Null where the pages go on counting from the sheet before. */
  firstPageNumber: number | null;
  centerHorizontally: boolean;
  centerVertically: boolean;
  printGridlines: boolean;
  margins: Record<MarginName, number>;
  /** Addresses without a sheet name. */
  printArea: string | null;
  titleRows: string | null;
  titleColumns: string | null;
  headerFooter: Record<HeaderFooterPart, string>;
}

const MARGINS = ["top", "bottom", "left", "right", "header", "footer"] as const;
export type MarginName = (typeof MARGINS)[number];

export type HeaderFooterPart =
  "leftHeader" | "centerHeader" | "rightHeader" | "leftFooter" | "centerFooter" | "rightFooter";

/** The host's margins for a new sheet, in points. */
const NEW_LAYOUT: KeptLayout = {
  orientation: "Portrait",
  paperSize: "Letter",
  zoom: { scale: 100 },
  firstPageNumber: null,
  centerHorizontally: false,
  centerVertically: false,
  printGridlines: false,
  margins: { top: 54, bottom: 54, left: 50.4, right: 50.4, header: 21.6, footer: 21.6 },
  printArea: null,
  titleRows: null,
  titleColumns: null,
  headerFooter: {
    leftHeader: "",
    centerHeader: "",
    rightHeader: "",
    leftFooter: "",
    centerFooter: "",
    rightFooter: "",
  },
};

export const layoutKey = (sheetId: string) => `layout/${sheetId}`;

/** A sheet's layout if one was ever set. */
export const keptLayout = (book: Book, sheetId: string): KeptLayout | null =>
  (book.kept(layoutKey(sheetId)) as KeptLayout | undefined) ?? null;

function changeLayout(book: Book, sheetId: string, change: Partial<KeptLayout>): void {
  book.keep(layoutKey(sheetId), { ...(keptLayout(book, sheetId) ?? NEW_LAYOUT), ...change });
}

const withoutSheet = (address: string) => address.slice(address.lastIndexOf("!") + 1);

export class PageLayout implements WireObject {
  readonly $type = "PageLayout";
  readonly $scalars = [
    "BottomMargin",
    "CenterHorizontally",
    "CenterVertically",
    "FirstPageNumber",
    "FooterMargin",
    "HeaderMargin",
    "LeftMargin",
    "Orientation",
    "PaperSize",
    "PrintGridlines",
    "RightMargin",
    "TopMargin",
    "Zoom",
  ];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
  ) {}

  private get kept(): KeptLayout {
    return keptLayout(this.book, this.sheetId) ?? NEW_LAYOUT;
  }

  private change(change: Partial<KeptLayout>): void {
    changeLayout(this.book, this.sheetId, change);
  }

  get Orientation(): string {
    return this.kept.orientation;
  }

  set Orientation(orientation: string) {
    this.change({ orientation });
  }

  get PaperSize(): string {
    return this.kept.paperSize;
  }

  set PaperSize(paperSize: string) {
    this.change({ paperSize });
  }

  get Zoom(): PageZoom {
    return this.kept.zoom;
  }

  set Zoom(zoom: PageZoom) {
    this.change({ zoom });
  }

  get FirstPageNumber(): number | "" {
    return this.kept.firstPageNumber ?? "";
  }

  set FirstPageNumber(first: number | "") {
    this.change({ firstPageNumber: first === "" ? null : first });
  }

  get CenterHorizontally(): boolean {
    return this.kept.centerHorizontally;
  }

  set CenterHorizontally(centerHorizontally: boolean) {
    this.change({ centerHorizontally });
  }

  get CenterVertically(): boolean {
    return this.kept.centerVertically;
  }

  set CenterVertically(centerVertically: boolean) {
    this.change({ centerVertically });
  }

  get PrintGridlines(): boolean {
    return this.kept.printGridlines;
  }

  set PrintGridlines(printGridlines: boolean) {
    this.change({ printGridlines });
  }

  get TopMargin(): number {
    return this.kept.margins.top;
  }

  set TopMargin(points: number) {
    this.setMargin("top", points);
  }

  get BottomMargin(): number {
    return this.kept.margins.bottom;
  }

  set BottomMargin(points: number) {
    this.setMargin("bottom", points);
  }

  get LeftMargin(): number {
    return this.kept.margins.left;
  }

  set LeftMargin(points: number) {
    this.setMargin("left", points);
  }

  get RightMargin(): number {
    return this.kept.margins.right;
  }

  set RightMargin(points: number) {
    this.setMargin("right", points);
  }

  get HeaderMargin(): number {
    return this.kept.margins.header;
  }

  set HeaderMargin(points: number) {
    this.setMargin("header", points);
  }

  get FooterMargin(): number {
    return this.kept.margins.footer;
  }

  set FooterMargin(points: number) {
    this.setMargin("footer", points);
  }

  SetPrintMargins(unit: string, margins: Partial<Record<MarginName, number>>): void {
    const points = { Points: 1, Inches: 72, Centimeters: 72 / 2.54 }[unit] ?? 1;
    for (const name of MARGINS) {
      const size = margins[name];
      if (size !== undefined) this.setMargin(name, size * points);
    }
  }

  private setMargin(name: MarginName, points: number): void {
    this.change({ margins: { ...this.kept.margins, [name]: points } });
  }

  /** Areas of one sheet, by commas; each begins a page. */
  SetPrintArea(area: unknown): void {
    const parts = typeof area === "string" ? area.split(",") : [area];
    this.change({ printArea: parts.map((part) => this.local(part)).join(",") });
  }

  GetPrintAreaOrNullObject(): WireObject | null {
    const { printArea } = this.kept;
    if (printArea === null) return null;
    const addresses = printArea
      .split(",")
      .map((part) => this.book.address(this.book.area(part, this.sheetId)));
    return new PrintArea(addresses.join(","));
  }

  SetPrintTitleRows(rows: unknown): void {
    this.change({ titleRows: this.local(rows) });
  }

  GetPrintTitleRowsOrNullObject(): WireObject | null {
    return this.rangeAt(this.kept.titleRows);
  }

  SetPrintTitleColumns(columns: unknown): void {
    this.change({ titleColumns: this.local(columns) });
  }

  GetPrintTitleColumnsOrNullObject(): WireObject | null {
    return this.rangeAt(this.kept.titleColumns);
  }

  get HeadersFooters(): HeaderFooterGroup {
    return new HeaderFooterGroup(this.book, this.sheetId);
  }

  private local(given: unknown): string {
    const area =
      typeof given === "string"
        ? this.book.area(given, this.sheetId)
        : (given as { readonly area: Area }).area;
    return withoutSheet(this.book.address(area));
  }

  private rangeAt(address: string | null): WireObject | null {
    return address === null ? null : this.book.objects.range(this.book.area(address, this.sheetId));
  }
}

/** As much of `Excel.RangeAreas` as a print area is asked for. */
class PrintArea implements WireObject {
  readonly $type = "RangeAreas";
  readonly $scalars = ["Address", "AreaCount"];

  constructor(readonly Address: string) {}

  get AreaCount(): number {
    return this.Address.split(",").length;
  }
}

class HeaderFooterGroup implements WireObject {
  readonly $type = "HeaderFooterGroup";
  readonly $scalars = ["State"];
  readonly State = "Default";

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
  ) {}

  get DefaultForAllPages(): HeaderFooter {
    return new HeaderFooter(this.book, this.sheetId);
  }
}

class HeaderFooter implements WireObject {
  readonly $type = "HeaderFooter";
  readonly $scalars = [
    "CenterFooter",
    "CenterHeader",
    "LeftFooter",
    "LeftHeader",
    "RightFooter",
    "RightHeader",
  ];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string,
  ) {}

  private get texts(): KeptLayout["headerFooter"] {
    return (keptLayout(this.book, this.sheetId) ?? NEW_LAYOUT).headerFooter;
  }

  private put(part: HeaderFooterPart, text: string): void {
    changeLayout(this.book, this.sheetId, { headerFooter: { ...this.texts, [part]: text } });
  }

  get LeftHeader(): string {
    return this.texts.leftHeader;
  }

  set LeftHeader(text: string) {
    this.put("leftHeader", text);
  }

  get CenterHeader(): string {
    return this.texts.centerHeader;
  }

  set CenterHeader(text: string) {
    this.put("centerHeader", text);
  }

  get RightHeader(): string {
    return this.texts.rightHeader;
  }

  set RightHeader(text: string) {
    this.put("rightHeader", text);
  }

  get LeftFooter(): string {
    return this.texts.leftFooter;
  }

  set LeftFooter(text: string) {
    this.put("leftFooter", text);
  }

  get CenterFooter(): string {
    return this.texts.centerFooter;
  }

  set CenterFooter(text: string) {
    this.put("centerFooter", text);
  }

  get RightFooter(): string {
    return this.texts.rightFooter;
  }

  set RightFooter(text: string) {
    this.put("rightFooter", text);
  }
}

import type { WireObject } from "../protocol/wire-object";
import type { Area } from "./area";
import type { Book } from "./book";
import type { KeptLayout, PageZoom, MarginName } from "./kept-layout";
import { keptLayout, NEW_LAYOUT, changeLayout, MARGINS } from "./kept-layout";
import { HeaderFooterGroup } from "./header-footer";

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

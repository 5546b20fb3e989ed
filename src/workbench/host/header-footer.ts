import type { WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import type { KeptLayout, HeaderFooterPart } from "./kept-layout";
import { keptLayout, NEW_LAYOUT, changeLayout } from "./kept-layout";

export class HeaderFooterGroup implements WireObject {
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

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

export const MARGINS = ["top", "bottom", "left", "right", "header", "footer"] as const;
export type MarginName = (typeof MARGINS)[number];

export type HeaderFooterPart =
  "leftHeader" | "centerHeader" | "rightHeader" | "leftFooter" | "centerFooter" | "rightFooter";

/** The host's margins for a new sheet, in points. */
export const NEW_LAYOUT: KeptLayout = {
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

export function changeLayout(book: Book, sheetId: string, change: Partial<KeptLayout>): void {
  book.keep(layoutKey(sheetId), { ...(keptLayout(book, sheetId) ?? NEW_LAYOUT), ...change });
}

import type { Book } from "../host/book";
import { keptLayout } from "../host/kept-layout";
import type { HeaderFooterPart, KeptLayout } from "../host/kept-layout";
import { create, first, place } from "./dom";

/** The order in which a sheet's parts have to stand. */
export const SHEET_ORDER = [
  "sheetPr",
  "dimension",
  "sheetViews",
  "sheetFormatPr",
  "cols",
  "sheetData",
  "sheetProtection",
  "autoFilter",
  "mergeCells",
  "conditionalFormatting",
  "dataValidations",
  "hyperlinks",
  "printOptions",
  "pageMargins",
  "pageSetup",
  "headerFooter",
  "drawing",
  "legacyDrawing",
  "tableParts",
];

const POINTS_PER_INCH = 72;

/** Numbers by which a file names paper sizes. */
const PAPER: Readonly<Record<string, number>> = { Letter: 1, Legal: 5, A3: 8, A4: 9, A5: 11, Tabloid: 3 };

export function writeLayout(book: Book, sheetId: string, sheet: Document): void {
  const layout = keptLayout(book, sheetId);
  if (!layout) return;
  const root = sheet.documentElement;
  const { zoom, margins } = layout;
  const inches = (points: number) => Math.round((points / POINTS_PER_INCH) * 1000) / 1000;
  const fits = zoom.horizontalFitToPages !== undefined || zoom.verticalFitToPages !== undefined;
  if (fits) {
    const properties = first(root, "sheetPr") ?? create(sheet, "sheetPr");
    properties.append(create(sheet, "pageSetUpPr", { fitToPage: 1 }));
    place(root, properties, SHEET_ORDER);
  }
  const options = create(sheet, "printOptions", {
    horizontalCentered: layout.centerHorizontally ? 1 : undefined,
    verticalCentered: layout.centerVertically ? 1 : undefined,
    gridLines: layout.printGridlines ? 1 : undefined,
  });
  if (options.attributes.length) place(root, options, SHEET_ORDER);
  const pageMargins = Object.entries(margins).map(([name, points]) => [name, inches(points)]);
  place(
    root,
    create(sheet, "pageMargins", Object.fromEntries(pageMargins) as Record<string, number>),
    SHEET_ORDER,
  );
  const setup = create(sheet, "pageSetup", {
    paperSize: PAPER[layout.paperSize],
    orientation: layout.orientation.toLowerCase(),
    scale: fits ? undefined : zoom.scale,
    fitToWidth: fits ? (zoom.horizontalFitToPages ?? 0) : undefined,
    fitToHeight: fits ? (zoom.verticalFitToPages ?? 0) : undefined,
    firstPageNumber: layout.firstPageNumber ?? undefined,
    useFirstPageNumber: layout.firstPageNumber === null ? undefined : 1,
  });
  place(root, setup, SHEET_ORDER);
  writeHeaderFooter(sheet, layout);
}

const SECTIONS = { L: "left", C: "center", R: "right" } as const;

function writeHeaderFooter(sheet: Document, { headerFooter }: KeptLayout): void {
  const text = (end: "Header" | "Footer") =>
    Object.entries(SECTIONS)
      .map(([mark, side]) => [mark, headerFooter[`${side}${end}`]] as const)
      .filter(([, part]) => part)
      .map(([mark, part]) => `&${mark}${part}`)
      .join("");
  const [header, footer] = [text("Header"), text("Footer")];
  if (!header && !footer) return;
  const element = create(sheet, "headerFooter");
  if (header) element.append(create(sheet, "oddHeader", {}, header));
  if (footer) element.append(create(sheet, "oddFooter", {}, footer));
  place(sheet.documentElement, element, SHEET_ORDER);
}

const number = (element: Element | undefined, name: string): number | undefined => {
  const text = element?.getAttribute(name);
  return text ? Number(text) : undefined;
};

/** Reads a sheet's layout, apart from what the workbook's names tell of it; null where it has none. */
export function readLayout(sheet: Document): KeptLayout | null {
  const [setup, margins, options, texts] = ["pageSetup", "pageMargins", "printOptions", "headerFooter"].map(
    (name) => first(sheet, name),
  );
  if (!setup && !margins && !options && !texts) return null;
  const fits = first(sheet, "pageSetUpPr")?.getAttribute("fitToPage") === "1";
  const points = (name: string, otherwise: number) =>
    (number(margins, name) ?? otherwise / POINTS_PER_INCH) * POINTS_PER_INCH;
  const across = number(setup, "fitToWidth") ?? 1;
  const down = number(setup, "fitToHeight") ?? 1;
  const paper = number(setup, "paperSize") ?? 1;
  return {
    orientation: setup?.getAttribute("orientation") === "landscape" ? "Landscape" : "Portrait",
    paperSize: Object.keys(PAPER).find((name) => PAPER[name] === paper) ?? "Letter",
    zoom: fits
      ? { ...(across && { horizontalFitToPages: across }), ...(down && { verticalFitToPages: down }) }
      : { scale: number(setup, "scale") ?? 100 },
    firstPageNumber:
      setup?.getAttribute("useFirstPageNumber") === "1" ? (number(setup, "firstPageNumber") ?? 1) : null,
    centerHorizontally: options?.getAttribute("horizontalCentered") === "1",
    centerVertically: options?.getAttribute("verticalCentered") === "1",
    printGridlines: options?.getAttribute("gridLines") === "1",
    margins: {
      top: points("top", 54),
      bottom: points("bottom", 54),
      left: points("left", 50.4),
      right: points("right", 50.4),
      header: points("header", 21.6),
      footer: points("footer", 21.6),
    },
    printArea: null,
    titleRows: null,
    titleColumns: null,
    headerFooter: readHeaderFooter(texts),
  };
}

function readHeaderFooter(texts: Element | undefined): Record<HeaderFooterPart, string> {
  const sections = (end: "Header" | "Footer") => {
    const text = (texts && first(texts, `odd${end}`)?.textContent) ?? "";
    const found = { left: "", center: "", right: "" };
    // A section's mark may only be taken as one where it is not the end of an escaped ampersand.
    for (const [, mark, part] of text.matchAll(/&([LCR])((?:&&|&[^LCR]|[^&])*)/g)) {
      found[SECTIONS[mark as keyof typeof SECTIONS]] = part ?? "";
    }
    return found;
  };
  const [header, footer] = [sections("Header"), sections("Footer")];
  return {
    leftHeader: header.left,
    centerHeader: header.center,
    rightHeader: header.right,
    leftFooter: footer.left,
    centerFooter: footer.center,
    rightFooter: footer.right,
  };
}

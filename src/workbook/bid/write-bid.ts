/** Writes the planned sheets through Office.js: new sheets only, and none at all when it is stopped or fails. */
import type { UnitSystem } from "../../engine/units";
import type { Content, Progress, Range, Worksheet } from "../host";
import { cellAddress, forNow, pass, unreported } from "../host";
import type { Cells } from "../writing";
import { isFormula, textFormat, withNewSheets, writeCells } from "../writing";
import { asWork } from "../work";
import { ruleFor, sentencesOf, titleOf } from "./entry";
import type { JobInput } from "./job";
import type { SheetNames } from "./bid-sheets";
import { bidSheetNames, bidSheets, forEachSheet, sheetOfBid } from "./bid-sheets";
import type { PlannedCell, SheetPlan } from "./plan";
import { nameParts } from "./parts-by-name";
import { planBid } from "./plan-bid";
import type { Rectangle } from "./rectangles";
import { rectangles } from "./rectangles";
import { sampleProperty } from "./sample-property";
import { looks, numberFormat, tabColours } from "./styles";

export interface BidOptions {
  readonly system: UnitSystem;
  /** The sign that money is shown with, such as "$". */
  readonly currency: string;
  readonly property: string;
  /** The sample property filled in, or empty input cells. */
  readonly sample: boolean;
  /** A job to fill in instead of the sample. */
  readonly job?: JobInput;
}

export interface BidResult {
  /** The names the sheets were given, in order. */
  readonly sheets: readonly string[];
}

/** The first set of names of which none is taken: Site, Materials... or Site 2, Materials 2... */
export function freeNames(taken: readonly string[]): SheetNames {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  for (let n = 1; ; n++) {
    const ending = n === 1 ? "" : ` ${n}`;
    const names = forEachSheet((sheet) => `${bidSheetNames[sheet]}${ending}`);
    if (!Object.values(names).some((name) => used.has(name.toLowerCase()))) return names;
  }
}

/** About the width of one character of the body text, in points. */
const pointsPerCharacter = 5.6;

type Look = Pick<BidOptions, "currency" | "system">;

/** Where the cells of a plan stand on its sheet, for one request alone. */
const placed =
  (sheet: Worksheet) =>
  ({ top, left, right, bottom }: Omit<Rectangle<PlannedCell>, "like">): Range =>
    forNow(sheet.getRangeByIndexes(top - 1, left - 1, bottom - top + 1, right - left + 1));

/** Looks come before contents: a host takes longer to change the look of a formula than of an empty cell. */
function layOut(sheet: Worksheet, plan: SheetPlan, look: Look): void {
  const { cells } = plan;
  const at = placed(sheet);
  const format = formatOf(look);
  for (const same of rectangles(cells, format))
    at(same).numberFormat = grid(same, () => format(same.like) ?? "General");
  for (const same of rectangles(cells, ({ role }) => role)) looks[same.like.role](at(same));
  for (const same of rectangles(cells, ({ align }) => align)) {
    const { align } = same.like;
    const range = at(same);
    if (align === "set in") range.format.indentLevel = 1;
    range.format.horizontalAlignment = align === "right" ? "Right" : align === "centre" ? "Center" : "Left";
  }
  for (const { row, left, right } of plan.merges) {
    if (right > left) at({ top: row, bottom: row, left, right }).merge(false);
  }
  for (const same of rectangles(cells, limitKey)) limitInput(at(same), same);
  plan.widths.forEach((width, i) => {
    at({ top: 1, bottom: 1, left: i + 1, right: i + 1 }).format.columnWidth = width * pointsPerCharacter;
  });
  const heads = new Set(cells.filter(({ role }) => role === "column").map(({ row }) => row));
  for (const [row, height] of plan.rowHeights) {
    const { format } = at({ top: row, bottom: row, left: 1, right: plan.size.columns });
    format.rowHeight = height;
    if (!heads.has(row)) format.verticalAlignment = "Center";
  }
  if (plan.frozenRows > 0) sheet.freezePanes.freezeRows(plan.frozenRows);
  sheet.showGridlines = false;
  layOutForPaper(sheet, plan);
}

const formatOf =
  (look: Look) =>
  (cell: PlannedCell): string | undefined =>
    numberFormat(cell, isFormula(cell.content), look);

/** The contents in rectangles; cells that are formatted as text are told, since a text is kept there by the format. */
function contentsOf(sheet: Worksheet, { cells }: SheetPlan, look: Look): readonly Cells[] {
  const held = new Map(cells.map((cell) => [placeKey(cell.row, cell.column), shown(cell)]));
  const isText = (cell: PlannedCell) => formatOf(look)(cell) === textFormat;
  const kindOf = (cell: PlannedCell) =>
    cell.content === "" ? undefined : isText(cell) ? textFormat : "of any format";
  return rectangles(cells, kindOf).map((same) => ({
    sheet,
    top: same.top - 1,
    left: same.left - 1,
    rows: grid(same, (row, column) => held.get(placeKey(row, column)) ?? ""),
    ...(isText(same.like) ? { format: textFormat } : {}),
  }));
}

/** A unit keeps a little away from the figure before it. */
const shown = ({ role, content }: PlannedCell): Content =>
  role === "unit" && typeof content === "string" && content !== "" ? `\u00a0${content}` : content;

const placeKey = (row: number, column: number): string => `${row} ${column}`;

/** What stands in each cell of a rectangle. */
const grid = <T>(
  { top, left, bottom, right }: Omit<Rectangle<PlannedCell>, "like">,
  contentAt: (row: number, column: number) => T,
): T[][] =>
  Array.from({ length: bottom - top + 1 }, (_, down) =>
    Array.from({ length: right - left + 1 }, (_unused, across) => contentAt(top + down, left + across)),
  );

/** Input cells with the same limits, told by the limits themselves. */
const limitKey = ({ entry }: PlannedCell): string | undefined =>
  entry === undefined ? undefined : JSON.stringify(entry);

/** An input cell refuses what does not belong there, and says what does in its own words. */
function limitInput(range: Range, { like, top, left }: Rectangle<PlannedCell>): void {
  const { dataValidation } = range;
  const { entry } = like;
  if (entry === undefined) return;
  dataValidation.rule = ruleFor(entry, cellAddress(top - 1, left - 1));
  dataValidation.errorAlert = {
    showAlert: true,
    style: "Stop",
    title: titleOf(entry),
    message: sentencesOf(entry),
  };
}

function layOutForPaper(sheet: Worksheet, plan: SheetPlan): void {
  const { pageLayout } = sheet;
  const { rows = plan.size.rows, columns = plan.size.columns } = plan.printed;
  pageLayout.orientation = plan.landscape ? "Landscape" : "Portrait";
  pageLayout.zoom = {
    horizontalFitToPages: 1,
    ...(plan.onePage ? { verticalFitToPages: 1 } : {}),
  };
  pageLayout.setPrintArea(placed(sheet)({ top: 1, left: 1, bottom: rows, right: columns }));
  if (plan.titleRows !== undefined) {
    const [first, last] = plan.titleRows;
    pageLayout.setPrintTitleRows(`$${first}:$${last}`);
  }
}

/** A page's head and foot hold 255 characters together, of which the rest of ours take few. */
const mostInHeader = 100;

/** A text for the head of a page, where an ampersand would begin a code; no letter is cut in two. */
const inHeader = (text: string): string =>
  Array.from(text.replace(/\s+/g, " ")).slice(0, mostInHeader).join("").replaceAll("&", "&&");

/**
 * Property and date above, sheet and page below; an ampersand would begin a code of its own. A sheet counts its own
 * pages, since it is handed out by itself: how many there are in all would be told of everything that is printed.
 */
function headPages(sheet: Worksheet, property: string): void {
  sheet.pageLayout.firstPageNumber = 1;
  sheet.pageLayout.headersFooters.defaultForAllPages.set({
    leftHeader: inHeader(property),
    rightHeader: "&D",
    leftFooter: "&A",
    rightFooter: "Page &P",
  });
}

/** Writes the bid into new sheets and opens the first of them. */
export const writeBid = (options: BidOptions, progress: Progress): Promise<BidResult> =>
  asWork({ work: "bid", again: options }, async (context, mark) => {
    const job = options.job ?? (options.sample ? sampleProperty[options.system] : undefined);
    const property = options.property.trim() === "" ? (job?.property ?? "") : options.property.trim();
    const steps = bidSheets.length + 1;
    pass(progress, 0, steps, "Adding sheets");
    let names: SheetNames = bidSheetNames;
    const namesFor = (taken: readonly string[]) => {
      names = freeNames(taken);
      return bidSheets.map((which) => names[which]);
    };
    const fill = async (sheets: readonly Worksheet[]): Promise<void> => {
      const plans = planBid({ system: options.system, property, job }, names);
      for (const [i, which] of bidSheets.entries()) {
        const [plan, sheet] = [plans[which], sheets[i]];
        const [site] = sheets;
        if (sheet === undefined || site === undefined) continue;
        pass(progress, i + 1, steps, `Writing ${plan.name}`);
        layOut(sheet, plan, options);
        headPages(sheet, property);
        sheet.tabColor = tabColours[sheetOfBid(which).tab];
        nameParts(sheet, plan, { which, system: options.system }, { sheet: site, plan: plans.site });
        await context.sync();
        await writeCells(context, contentsOf(sheet, plan, options), unreported(progress));
      }
      sheets[0]?.activate();
      await context.sync();
    };
    await withNewSheets(context, mark, { namesFor, fill });
    progress.report(steps, steps, "Done");
    return { sheets: bidSheets.map((sheet) => names[sheet]) };
  });

/** Writes the planned sheets through Office.js: new sheets only, and none at all when it is stopped or fails. */
import type { UnitSystem } from "../../engine/units";
import type { Progress } from "../progress";
import { pass } from "../progress";
import { cellAddress } from "../reference";
import { inWorkbook } from "../session";
import { ruleFor, sentencesOf, titleOf } from "./entry";
import type { JobInput } from "./job";
import type { BidSheet, SheetNames } from "./kit";
import { bidSheetNames } from "./kit";
import type { PlannedCell, SheetPlan } from "./plan";
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

const bidSheets = Object.keys(bidSheetNames) as readonly BidSheet[];

const tabs: Record<BidSheet, keyof typeof tabColours> = {
  site: "input",
  outlines: "input",
  materials: "input",
  quantities: "worked",
  order: "worked",
  bid: "paper",
  crew: "paper",
  record: "paper",
  watering: "paper",
  review: "input",
};

/** The first set of names of which none is taken: Site, Materials... or Site 2, Materials 2... */
export function freeNames(taken: readonly string[]): SheetNames {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  for (let n = 1; ; n++) {
    const ending = n === 1 ? "" : ` ${n}`;
    const names = Object.fromEntries(
      bidSheets.map((sheet) => [sheet, `${bidSheetNames[sheet]}${ending}`]),
    ) as Record<BidSheet, string>;
    if (!Object.values(names).some((name) => used.has(name.toLowerCase()))) return names;
  }
}

/** About the width of one character of the body text, in points. */
const pointsPerCharacter = 5.6;

type Look = Pick<BidOptions, "currency" | "system">;

const isFormula = ({ content }: PlannedCell): boolean => String(content).startsWith("=");

/** Where the cells of a plan stand on its sheet. */
const placed =
  (sheet: Excel.Worksheet) =>
  ({ top, left, right, bottom }: Omit<Rectangle<PlannedCell>, "like">): Excel.Range =>
    sheet.getRangeByIndexes(top - 1, left - 1, bottom - top + 1, right - left + 1);

/** Looks come before contents: a host takes longer to change the look of a formula than of an empty cell. */
function layOut(sheet: Excel.Worksheet, plan: SheetPlan, look: Look): void {
  const { cells } = plan;
  const at = placed(sheet);
  const format = (cell: PlannedCell) => numberFormat(cell, isFormula(cell), look);
  for (const same of rectangles(cells, format))
    at(same).numberFormat = grid(same, format(same.like) ?? "General");
  for (const same of rectangles(cells, ({ role }) => role)) looks[same.like.role](at(same));
  for (const same of rectangles(cells, ({ align }) => align)) {
    const { align } = same.like;
    at(same).format.horizontalAlignment = align === "left" ? "Left" : align === "right" ? "Right" : "Center";
  }
  for (const { row, left, right } of plan.merges) {
    if (right > left) at({ top: row, bottom: row, left, right }).merge(false);
  }
  for (const same of rectangles(cells, limitKey)) limitInput(at(same), same);
  plan.widths.forEach((width, i) => {
    sheet.getRangeByIndexes(0, i, 1, 1).format.columnWidth = width * pointsPerCharacter;
  });
  const heads = new Set(cells.filter(({ role }) => role === "column").map(({ row }) => row));
  for (const [row, height] of plan.rowHeights) {
    const { format } = sheet.getRangeByIndexes(row - 1, 0, 1, plan.size.columns);
    format.rowHeight = height;
    if (!heads.has(row)) format.verticalAlignment = "Center";
  }
  if (plan.frozenRows > 0) sheet.freezePanes.freezeRows(plan.frozenRows);
  sheet.showGridlines = false;
  layOutForPaper(sheet, plan);
}

function fillIn(sheet: Excel.Worksheet, { cells }: SheetPlan): void {
  const at = placed(sheet);
  const content = new Map(cells.map((cell) => [placeKey(cell.row, cell.column), shown(cell)]));
  for (const filled of rectangles(cells, (cell) => (cell.content === "" ? undefined : "filled"))) {
    at(filled).formulas = grid(filled, (row, column) => content.get(placeKey(row, column)) ?? "");
  }
}

/** A unit keeps a little away from the figure before it. */
const shown = ({ role, content }: PlannedCell): string | number =>
  role === "unit" && content !== "" && !String(content).startsWith("=") ? `\u00a0${content}` : content;

const placeKey = (row: number, column: number): string => `${row} ${column}`;

/** A rectangle's cells as the host takes them: each its own content, or all the same. */
function grid(
  { top, left, bottom, right }: Rectangle<PlannedCell>,
  content: string | ((row: number, column: number) => string | number),
): (string | number)[][] {
  return Array.from({ length: bottom - top + 1 }, (_, down) =>
    Array.from({ length: right - left + 1 }, (_, across) =>
      typeof content === "string" ? content : content(top + down, left + across),
    ),
  );
}

/** Input cells with the same limits, told by the limits themselves. */
const limitKey = ({ entry }: PlannedCell): string | undefined =>
  entry === undefined ? undefined : JSON.stringify(entry);

/** An input cell refuses what does not belong there, and says what does in its own words. */
function limitInput(range: Excel.Range, { like, top, left }: Rectangle<PlannedCell>): void {
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

function layOutForPaper(sheet: Excel.Worksheet, plan: SheetPlan): void {
  const { pageLayout } = sheet;
  const { rows = plan.size.rows, columns = plan.size.columns } = plan.printed;
  pageLayout.orientation = plan.landscape ? "Landscape" : "Portrait";
  pageLayout.zoom = {
    horizontalFitToPages: 1,
    ...(plan.onePage ? { verticalFitToPages: 1 } : {}),
  };
  pageLayout.setPrintArea(sheet.getRangeByIndexes(0, 0, rows, columns));
  if (plan.titleRows !== undefined) {
    const [first, last] = plan.titleRows;
    pageLayout.setPrintTitleRows(`$${first}:$${last}`);
  }
}

/** Property and date above, sheet and page below; an ampersand would begin a code of its own. */
function headPages(sheet: Excel.Worksheet, property: string): void {
  sheet.pageLayout.headersFooters.defaultForAllPages.set({
    leftHeader: property.replaceAll("&", "&&"),
    rightHeader: "&D",
    leftFooter: "&A",
    rightFooter: "&P / &N",
  });
}

/** Writes the bid into new sheets and opens the first of them. */
export const writeBid = (options: BidOptions, progress: Progress): Promise<BidResult> =>
  inWorkbook(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    const names = freeNames(worksheets.items.map(({ name }) => name));
    const job = options.job ?? (options.sample ? sampleProperty[options.system] : undefined);
    const property = options.property.trim() === "" ? (job?.property ?? "") : options.property.trim();
    const plans = planBid({ system: options.system, property, job }, names);
    const steps = bidSheets.length + 1;
    try {
      pass(progress, 0, steps, "Adding sheets");
      const added = bidSheets.map((which) => ({
        plan: plans[which],
        tab: tabColours[tabs[which]],
        sheet: worksheets.add(names[which]),
      }));
      await context.sync();
      for (const [i, { plan, tab, sheet }] of added.entries()) {
        pass(progress, i + 1, steps, `Writing ${plan.name}`);
        layOut(sheet, plan, options);
        fillIn(sheet, plan);
        headPages(sheet, property);
        sheet.tabColor = tab;
        await context.sync();
      }
      added[0]?.sheet.activate();
      await context.sync();
    } catch (error) {
      await removeSheets(context, Object.values(names));
      throw error;
    }
    progress.report(steps, steps, "Done");
    return { sheets: bidSheets.map((sheet) => names[sheet]) };
  });

async function removeSheets(context: Excel.RequestContext, names: readonly string[]): Promise<void> {
  const present = names.map((name) => context.workbook.worksheets.getItemOrNullObject(name));
  for (const sheet of present) sheet.load("name");
  await context.sync();
  for (const sheet of present) if (!sheet.isNullObject) sheet.delete();
  await context.sync();
}

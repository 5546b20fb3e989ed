/** Writes the planned sheets through Office.js: new sheets only, and none at all when it is stopped or fails. */
import type { UnitSystem } from "../../engine/units";
import { ruleOf } from "../limits";
import type { Progress } from "../progress";
import { pass } from "../progress";
import { inWorkbook } from "../session";
import { parameterSentence } from "../../engine/parameters";
import { cellAddress } from "../reference";
import type { CellRole, NumberForm, PlannedCell, SheetPlan } from "./plan";
import type { BidSheet } from "./plan-bid";
import { bidSheetNames, planBid } from "./plan-bid";
import { sampleProperty } from "./sample-property";

export interface BidOptions {
  readonly system: UnitSystem;
  /** The sign that money is shown with, such as "$". */
  readonly currency: string;
  readonly property: string;
  /** The sample property filled in, or empty input cells. */
  readonly sample: boolean;
}

export interface BidResult {
  /** The names the sheets were given, in order. */
  readonly sheets: readonly string[];
}

const bidSheets = Object.keys(bidSheetNames) as readonly BidSheet[];

/** The first set of names of which none is taken: Site, Materials... or Site 2, Materials 2... */
export function freeNames(taken: readonly string[]): Record<BidSheet, string> {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  const named = (n: number): Record<BidSheet, string> => {
    const one = (sheet: BidSheet) => `${bidSheetNames[sheet]}${n === 1 ? "" : ` ${n}`}`;
    return { site: one("site"), materials: one("materials"), quantities: one("quantities"), bid: one("bid") };
  };
  for (let n = 1; ; n++) {
    const names = named(n);
    if (!Object.values(names).some((name) => used.has(name.toLowerCase()))) return names;
  }
}

const colours = {
  ink: "#1F2A22",
  quiet: "#5B665E",
  accent: "#1E5B33",
  band: "#E9F0EA",
  input: "#FFF8DC",
  inputEdge: "#9A7B1C",
  caution: "#7A2E00",
} as const;

function numberFormat({ form, content }: PlannedCell, currency: string): string {
  if (form === "text") return typeof content === "string" && content.startsWith("=") ? "General" : "@";
  const sign = currency.replaceAll('"', "");
  const formats: Record<Exclude<NumberForm, "text">, string> = {
    general: "General",
    whole: "#,##0",
    "one decimal": "#,##0.0",
    "two decimals": "#,##0.00",
    "four decimals": "0.0000",
    "per cent": "0.0%",
    "fine per cent": "0.000%",
    money: sign === "" ? "#,##0.00" : `"${sign}"#,##0.00`,
  };
  return formats[form];
}

const edges = [
  "EdgeTop",
  "EdgeBottom",
  "EdgeLeft",
  "EdgeRight",
  "InsideHorizontal",
  "InsideVertical",
] as const;

function box(range: Excel.Range, which: readonly (typeof edges)[number][], color: string): void {
  for (const edge of which) {
    const border = range.format.borders.getItem(edge);
    border.style = "Continuous";
    border.color = color;
  }
}

/** How each role looks. */
const looks: Record<CellRole, (range: Excel.Range) => void> = {
  title: ({ format }) => format.font.set({ bold: true, size: 16, color: colours.accent }),
  purpose: ({ format }) => format.font.set({ size: 12, color: colours.ink }),
  legend: ({ format }) => format.font.set({ italic: true, color: colours.quiet }),
  heading: ({ format }) => format.font.set({ bold: true, size: 12, color: colours.accent }),
  column: (range) => {
    range.format.font.set({ bold: true, color: colours.ink });
    range.format.fill.color = colours.band;
    range.format.wrapText = true;
    range.format.verticalAlignment = "Bottom";
    box(range, ["EdgeBottom"], colours.accent);
  },
  label: ({ format }) => format.font.set({ color: colours.ink }),
  unit: ({ format }) => format.font.set({ color: colours.quiet }),
  note: ({ format }) => format.font.set({ italic: true, color: colours.quiet }),
  input: (range) => {
    range.format.fill.color = colours.input;
    box(range, edges, colours.inputEdge);
  },
  result: ({ format }) => format.font.set({ color: colours.ink }),
  total: (range) => {
    range.format.font.set({ bold: true, color: colours.ink });
    box(range, ["EdgeTop"], colours.ink);
  },
  caution: ({ format }) => format.font.set({ color: colours.caution }),
};

interface Run {
  readonly role: CellRole;
  readonly row: number;
  readonly left: number;
  right: number;
}

/** Neighbours in a row with the same role are formatted in one go. */
function runs(cells: readonly PlannedCell[]): readonly Run[] {
  const found: Run[] = [];
  for (const { row, column, role } of [...cells].sort((a, b) => a.row - b.row || a.column - b.column)) {
    const last = found[found.length - 1];
    if (last?.row === row && last.role === role && last.right === column - 1) last.right = column;
    else found.push({ role, row, left: column, right: column });
  }
  return found;
}

/** About the width of one character of the body text, in points. */
const pointsPerCharacter = 5.6;

function writeSheet(sheet: Excel.Worksheet, plan: SheetPlan, currency: string): void {
  const { rows, columns } = plan.size;
  const grid = <T>(fill: T): T[][] =>
    Array.from({ length: rows }, () => Array.from({ length: columns }, () => fill));
  const formats = grid("General");
  const contents = grid<string | number>("");
  for (const cell of plan.cells) {
    const format = formats[cell.row - 1];
    const content = contents[cell.row - 1];
    if (format === undefined || content === undefined) continue;
    format[cell.column - 1] = numberFormat(cell, currency);
    content[cell.column - 1] = cell.content;
  }
  const all = sheet.getRangeByIndexes(0, 0, rows, columns);
  all.numberFormat = formats;
  all.formulas = contents;

  for (const { role, row, left, right } of runs(plan.cells)) {
    looks[role](sheet.getRangeByIndexes(row - 1, left - 1, 1, right - left + 1));
  }
  plan.widths.forEach((width, i) => {
    sheet.getRangeByIndexes(0, i, 1, 1).format.columnWidth = width * pointsPerCharacter;
  });
  for (const cell of plan.cells) limitInput(sheet, cell);
  if (plan.frozenRows > 0) sheet.freezePanes.freezeRows(plan.frozenRows);
  sheet.showGridlines = false;
  layOutForPaper(sheet, plan, all);
}

/** An input cell takes what the function that reads it takes, and says so in the function's own sentence. */
function limitInput(sheet: Excel.Worksheet, { row, column, limit, choices }: PlannedCell): void {
  if (limit === undefined && choices === undefined) return;
  const { dataValidation } = sheet.getRangeByIndexes(row - 1, column - 1, 1, 1);
  if (choices !== undefined) {
    dataValidation.rule = { list: { inCellDropDown: true, source: choices.join(",") } };
    return;
  }
  if (limit === undefined) return;
  dataValidation.rule = ruleOf(limit, cellAddress(row - 1, column - 1));
  dataValidation.errorAlert = {
    showAlert: true,
    style: "Stop",
    title: "What belongs in this cell",
    message: parameterSentence(limit),
  };
}

function layOutForPaper(sheet: Excel.Worksheet, plan: SheetPlan, all: Excel.Range): void {
  const { pageLayout } = sheet;
  pageLayout.orientation = plan.landscape ? "Landscape" : "Portrait";
  pageLayout.zoom = { horizontalFitToPages: 1 };
  pageLayout.setPrintArea(all);
  if (plan.frozenRows > 0) pageLayout.setPrintTitleRows(`$1:$${plan.frozenRows}`);
  pageLayout.headersFooters.defaultForAllPages.rightHeader = "&D";
  pageLayout.headersFooters.defaultForAllPages.leftFooter = "&A";
  pageLayout.headersFooters.defaultForAllPages.rightFooter = "&P / &N";
}

/** Writes the bid into new sheets and opens the first of them. */
export const writeBid = (options: BidOptions, progress: Progress): Promise<BidResult> =>
  inWorkbook(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    const names = freeNames(worksheets.items.map(({ name }) => name));
    const job = options.sample ? sampleProperty[options.system] : undefined;
    const property = options.property.trim() === "" ? (job?.property ?? "") : options.property.trim();
    const plans = planBid({ system: options.system, property, job }, names);
    const steps = bidSheets.length + 1;
    const added: Excel.Worksheet[] = [];
    try {
      pass(progress, 0, steps, "Adding sheets");
      added.push(...bidSheets.map((sheet) => worksheets.add(names[sheet])));
      await context.sync();
      for (const [i, sheet] of bidSheets.entries()) {
        pass(progress, i + 1, steps, `Writing ${names[sheet]}`);
        const worksheet = added[i];
        if (worksheet !== undefined) writeSheet(worksheet, plans[sheet], options.currency);
        await context.sync();
      }
      added[0]?.activate();
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

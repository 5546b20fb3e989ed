/** The checks over the open workbook: everything at first, then what each change touches. */
import type { Edited, Pieces, Progress, ReadBlock, RequestContext, Uncalculated } from "../host";
import {
  asCalculated,
  contentOf,
  dayOf,
  inSlices,
  inWorkbook,
  pass,
  readBlocks,
  readCalculatedSheets,
  sheetsApart,
  sheetsByName,
  slices,
  valuesOf,
} from "../host";
import { findBids } from "../bid";
import type { Finding } from "./check";
import { Checker } from "./checker";
import { checks } from "./rules";
import type { CellKey, ReadCell } from "./survey";
import { Survey, within } from "./survey";

const what = "Checking the workbook";

/** More cells than this are checked anew with the whole workbook. */
const mostEdited = 50_000;

/** Rectangles of one column each that hold these cells and few others. */
function* columnsOf(keys: Iterable<CellKey>, survey: Survey): Pieces<readonly Edited[]> {
  const byColumn = new Map<string, { sheet: string; column: number; rows: number[] }>();
  let seen = 0;
  for (const key of keys) {
    if (++seen % cellsAtATime === 0) yield 0;
    const place = survey.placeOf(key);
    if (place === undefined) continue;
    const { sheet, at } = place;
    const name = `${sheet.index} ${at.column}`;
    const known = byColumn.get(name) ?? { sheet: sheet.name, column: at.column, rows: [] };
    known.rows.push(at.row);
    byColumn.set(name, known);
  }
  return [...byColumn.values()].flatMap(({ sheet, column, rows }) => {
    const joined: { top: number; bottom: number }[] = [];
    for (const row of rows.sort((a, b) => a - b)) {
      const last = joined[joined.length - 1];
      if (last !== undefined && row - last.bottom <= closeBy) last.bottom = row;
      else joined.push({ top: row, bottom: row });
    }
    return joined.map(({ top, bottom }) => ({ sheet, top, left: column, bottom, right: column }));
  });
}

/** Cells so close to each other are read in one range. */
const closeBy = 8;

async function readCells(
  context: RequestContext,
  wanted: readonly Edited[],
  progress: Progress,
  uncalculated: Uncalculated,
): Promise<readonly ReadCell[]> {
  const sheetNamed = sheetsByName(context);
  const blocks = wanted.map(({ sheet, ...block }) => ({ sheet: sheetNamed(sheet), block }));
  const read = await asCalculated(
    context,
    () => readBlocks(context, blocks, { progress }),
    valuesOf,
    progress,
    uncalculated,
  );
  return inSlices(cellsIn(wanted, read), slices(progress, what));
}

/** Cells that are gone through between two pauses. */
const cellsAtATime = 1000;

function* cellsIn(wanted: readonly Edited[], read: readonly ReadBlock[]): Pieces<readonly ReadCell[]> {
  const cells: ReadCell[] = [];
  for (const [n, { sheet, top, left }] of wanted.entries()) {
    for (const [i, row] of (read[n]?.formulas ?? []).entries()) {
      const contents = row.map((formula, j) =>
        contentOf(formula, read[n]?.values[i]?.[j], read[n]?.types[i]?.[j]),
      );
      cells.push(...contents.map((content, j) => ({ sheet, row: top + i, column: left + j, ...content })));
      if (cells.length % cellsAtATime === 0) yield n / wanted.length;
    }
  }
  return cells;
}

/** The checks of one workbook, with what they found. */
export class WorkbookChecks {
  private constructor(
    private readonly survey: Survey,
    private readonly checker: Checker,
  ) {}

  /** Reads the workbook and checks all of it. */
  static async start(
    progress: Progress,
    today = dayOf(new Date()),
    uncalculated?: Uncalculated,
  ): Promise<WorkbookChecks> {
    pass(progress, 0, 1, "Reading the workbook");
    const { sheets, bids } = await inWorkbook(async (context) => ({
      sheets: await readCalculatedSheets(context, progress, uncalculated),
      bids: await findBids(context),
    }));
    const survey = await Survey.of(sheets, slices(progress, what), bids);
    const checker = new Checker(survey, checks, today);
    await checker.checkAll(slices(progress, what));
    return new WorkbookChecks(survey, checker);
  }

  get findings(): readonly Finding[] {
    return this.checker.findings;
  }

  /** Checks again what edits touch. Answers false where the whole workbook must be read anew. */
  async recheck(
    edited: readonly Edited[],
    progress: Progress,
    uncalculated: Uncalculated = "calculate",
  ): Promise<boolean> {
    const size = ({ top, left, bottom, right }: Edited) => (bottom - top + 1) * (right - left + 1);
    if (edited.reduce((sum, one) => sum + size(one), 0) > mostEdited) return false;
    const keys = edited.flatMap(({ sheet: name, ...block }) => {
      const sheet = this.survey.sheet(name);
      return sheet === undefined ? [] : [...within(block)].map((at) => sheet.keyOf(at));
    });
    if (edited.some(({ sheet }) => this.survey.sheet(sheet) === undefined)) return false;
    const pause = slices(progress, what);
    const affected = await inSlices(this.survey.affectedBy(keys), pause);
    const wanted = await inSlices(columnsOf(affected, this.survey), pause);
    const read = await inWorkbook(async (context) =>
      (await this.hasSameSheets(context)) ? readCells(context, wanted, progress, uncalculated) : undefined,
    );
    if (read === undefined) return false;
    await this.checker.recheck(read, pause);
    return true;
  }

  /** Not every host tells of a sheet that was renamed or moved. */
  private async hasSameSheets(context: RequestContext): Promise<boolean> {
    const names = (await sheetsApart(context)).theirs.map(({ name }) => name);
    const { sheets } = this.survey;
    return names.length === sheets.length && sheets.every(({ name }, i) => name === names[i]);
  }
}

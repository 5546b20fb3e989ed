/** How much work is done between two givings-way, counted in readings of cells: the same on every machine. */
import { vi } from "vitest";
import type { Progress } from "../../src/workbook/host/progress";
import type { CellContent, SheetCells } from "../../src/workbook/host/sheets";

let readings = 0;

function counted({ formula, value }: CellContent): CellContent {
  return {
    get formula() {
      readings++;
      return formula;
    },
    get value() {
      readings++;
      return value;
    },
  };
}

/** The sheets, each reading of a cell counted. */
export const countedSheets = (sheets: readonly SheetCells[]): readonly SheetCells[] =>
  sheets.map((sheet) => ({ ...sheet, rows: sheet.rows.map((row) => row.map(counted)) }));

/** A clock by which every few pauses give way, so that what happens depends on no machine. */
export function slowClock(): void {
  let time = 0;
  vi.spyOn(performance, "now").mockImplementation(() => (time += 3));
}

export interface Worked {
  /** All readings, the most between two turns of the event loop, and those after the work was asked to stop. */
  readonly all: number;
  readonly most: number;
  readonly afterStop: number;
  readonly turns: number;
  /** How often the work told how far it is. */
  readonly told: number;
  readonly outcome: unknown;
}

/** Does the work and counts; asked to, it stops the work at the n-th time that it tells how far it is. */
export async function counting(
  work: (progress: Progress) => Promise<unknown>,
  stopAt = Infinity,
): Promise<Worked> {
  const begun = readings;
  let [last, most, turns, isOver] = [readings, 0, 0, false];
  const mark = () => {
    most = Math.max(most, readings - last);
    last = readings;
  };
  const turn = () => {
    turns++;
    mark();
    if (!isOver) setImmediate(turn);
  };
  setImmediate(turn);
  let [told, stopped, atStop] = [0, false, 0];
  const progress: Progress = {
    report: () => {
      if (++told < stopAt || stopped) return;
      stopped = true;
      atStop = readings;
    },
    get stopped() {
      return stopped;
    },
  };
  const outcome = await work(progress).catch((error: unknown) => error);
  mark();
  isOver = true;
  return { all: readings - begun, most, turns, told, outcome, afterStop: stopped ? readings - atStop : 0 };
}

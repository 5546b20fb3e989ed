/** Steps over the workbook that know how to take themselves back, so that it is either as before or fully changed. */
import type { Progress } from "../progress";
import { pass } from "../progress";
import { patiently } from "../session";
import { WorkbookTrouble } from "../trouble";
import type { CellPlace } from "./place";
import { downTheColumns } from "./place";

/** Even putting back failed: a cell that was converted says what stood there, and bringing it back finishes the job. */
export class HalfWay extends WorkbookTrouble {
  constructor(cause: unknown) {
    super("The workbook stopped answering part of the way: bring the functions back once it answers again.", {
      cause,
    });
  }
}

export interface CellChange extends CellPlace {
  readonly before: string | number;
  readonly after: string | number;
}

/**
 * How much goes into one batch: the host is asked often enough to show progress, and not for every cell. It refuses
 * requests above 5 MB, and a letter may take four bytes.
 */
const perBatch = { cells: 500, letters: 500_000 } as const;

/** Where the batch that begins here ends. */
function endOfBatch(changes: readonly CellChange[], from: number): number {
  let letters = 0;
  let end = from;
  while (end < changes.length && end - from < perBatch.cells) {
    const { before = "", after = "" } = changes[end] ?? {};
    letters += Math.max(String(before).length, String(after).length);
    if (letters > perBatch.letters && end > from) break;
    end++;
  }
  return end;
}

interface ColumnRun {
  readonly sheet: string;
  readonly row: number;
  readonly column: number;
  readonly contents: (string | number)[];
}

/** Cells one under another are written in one go: the host pays for each range it is told of. */
function columnRuns(
  changes: readonly CellChange[],
  content: (change: CellChange) => string | number,
): ColumnRun[] {
  const found: ColumnRun[] = [];
  for (const change of changes) {
    const { sheet, row, column } = change;
    const last = found[found.length - 1];
    const follows =
      last?.sheet === sheet && last.column === column && last.row + last.contents.length === row;
    if (follows) last.contents.push(content(change));
    else found.push({ sheet, row, column, contents: [content(change)] });
  }
  return found;
}

export class ChangeSet {
  private readonly back: (() => Promise<void>)[] = [];

  constructor(private readonly context: Excel.RequestContext) {}

  /** What takes back the step that is about to run; registered first, since a step may fail half done. */
  onFailure(takeBack: () => Promise<void>): void {
    this.back.push(takeBack);
  }

  async write(unsorted: readonly CellChange[], progress: Progress, what: string): Promise<void> {
    const changes = [...unsorted].sort(downTheColumns);
    let begun = 0;
    this.onFailure(() => this.writeBack(changes.slice(0, begun)));
    while (begun < changes.length) {
      pass(progress, begun, changes.length, what);
      const batch = changes.slice(begun, endOfBatch(changes, begun));
      begun += batch.length;
      await this.writeCells(batch, ({ after }) => after);
    }
    progress.report(changes.length, changes.length, what);
  }

  private async writeBack(changes: readonly CellChange[]): Promise<void> {
    for (let from = 0; from < changes.length; from = endOfBatch(changes, from))
      await this.writeCells(changes.slice(from, endOfBatch(changes, from)), ({ before }) => before);
  }

  private async writeCells(
    changes: readonly CellChange[],
    content: (change: CellChange) => string | number,
  ): Promise<void> {
    for (const { sheet, row, column, contents } of columnRuns(changes, content)) {
      const worksheet = this.context.workbook.worksheets.getItem(sheet);
      worksheet.getRangeByIndexes(row, column, contents.length, 1).formulas = contents.map((one) => [one]);
    }
    await this.context.sync();
  }

  async run(steps: () => Promise<void>): Promise<void> {
    try {
      await steps();
    } catch (error) {
      try {
        for (const takeBack of [...this.back].reverse()) await patiently(takeBack);
      } catch (cause) {
        throw new HalfWay(cause);
      }
      throw error;
    }
  }
}

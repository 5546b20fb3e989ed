/** What cells were told to hold just before they were written to, against what was planned. */
import { holds, textFormat } from "./content";
import type { Content, Range, RequestContext } from "../host";
import { forNow, sheetsByName } from "../host";
import type { Run } from "./runs";
import { columnRuns } from "./runs";
import type { CellChange } from "./where-stands";

export interface Seen {
  readonly change: CellChange;
  readonly content: unknown;
  readonly value: unknown;
  readonly format: unknown;
}

/** A cell that holds nothing of its own may show what another's formula fills it with. */
const holdsOrShows = (wanted: Content, { change: { shows }, content, value, format }: Seen): boolean =>
  holds(wanted, content, value) ||
  // Sent with the apostrophe that a cell of another format asks for.
  (typeof wanted === "string" && wanted !== "" && format === textFormat && content === `'${wanted}`) ||
  (wanted === "" && shows !== undefined && value === shows && content === value);

export const isBefore = (one: Seen): boolean => holdsOrShows(one.change.before, one);
export const isAfter = (one: Seen): boolean => holdsOrShows(one.change.after, one);

/** A formula is dead in a cell formatted as text: it is alive in one that becomes so only afterwards. */
export const isForText = ({ change: { after }, format }: Seen): boolean =>
  format === textFormat && typeof after === "object";

export interface Asked {
  readonly run: Run<CellChange>;
  readonly range: Range;
}

/** Ranges for one request alone: those that were to be used once more would all be told of again at the end. */
export function rangesOf(context: RequestContext): (run: Run<unknown>) => Range {
  const rangeOf = heldRangesOf(context);
  return (run) => forNow(rangeOf(run));
}

/** Ranges that the host keeps for later requests, and that go along with their cells. */
export function heldRangesOf(context: RequestContext): (run: Run<unknown>) => Range {
  const sheetNamed = sheetsByName(context);
  return ({ sheet, row, column, cells }) => sheetNamed(sheet).getRangeByIndexes(row, column, cells.length, 1);
}

/** What is asked of a range. */
export const told = "formulas,values,numberFormat";

/** Asks what the cells of some changes hold, by ranges for one request alone unless others are given. */
export function ask(
  context: RequestContext,
  changes: readonly CellChange[],
  rangeOf: (run: Run<unknown>) => Range = rangesOf(context),
): readonly Asked[] {
  return columnRuns(changes).map((run) => {
    const range = rangeOf(run);
    range.load(told);
    return { run, range };
  });
}

interface Told {
  readonly formulas: readonly (readonly unknown[])[];
  readonly values: readonly (readonly unknown[])[];
  readonly numberFormat: readonly (readonly unknown[])[];
}

/** What a range was told to hold, as far as the host came to say it. */
function answered(range: Range): Told | undefined {
  try {
    return { formulas: range.formulas, values: range.values, numberFormat: range.numberFormat };
  } catch {
    return undefined;
  }
}

export const seenOf = (asked: readonly Asked[]): readonly Seen[] =>
  asked.flatMap(({ run, range }) => {
    const told = answered(range);
    return told === undefined
      ? []
      : run.cells.map((change, i) => ({
          change,
          content: told.formulas[i]?.[0],
          value: told.values[i]?.[0],
          format: told.numberFormat[i]?.[0],
        }));
  });

/** Texts that were sent for cells of another format than the ones that they met: rows moved in that very moment. */
export const misread = (
  seen: readonly Seen[],
  formats: ReadonlyMap<CellChange, string>,
): readonly CellChange[] =>
  seen.flatMap(({ change, format }) =>
    typeof change.after === "string" && formats.get(change) === textFormat && format !== textFormat
      ? [change]
      : [],
  );

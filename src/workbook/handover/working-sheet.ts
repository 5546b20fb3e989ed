/** One sheet that lists every cell of ours with its function, inputs, working and sources, for values handed to others. */
import { namespace } from "../../engine/catalogue";
import { Refusal } from "../../engine/refusal";
import type { WorksheetFunction } from "../../engine/formula";
import { workingOf } from "../../engine/working/working";
import type { Call, Knowledge } from "../formulas";
import { arrangedFor, attempt, callsIn, evaluate, mayHoldCalls, NotFollowed } from "../formulas";
import type { FormulaCell, RequestContext, SheetCells, Worksheet } from "../host";
import { formulaCells } from "../host";
import { fittingCell, writeCells } from "../writing";

const heads = ["Sheet", "Cell", "Function", "Given", "Working", "Result", "Sources"] as const;

export const workingSheetName = "Working";

interface Told {
  readonly working: string;
  readonly result: string;
}

function told(definition: WorksheetFunction, call: Call, knowledge: Knowledge, home: string): Told {
  try {
    const values = call.given.map((text) =>
      evaluate(text, (reference) => knowledge.valueAt(reference, home)),
    );
    const { lines, answer } = workingOf(definition, arrangedFor(definition, values));
    return {
      working: lines.map(({ name, sum, gives }) => `${name} = ${sum} = ${gives}`).join("\n"),
      result: answer,
    };
  } catch (error) {
    if (error instanceof Refusal || error instanceof NotFollowed)
      return { working: error.message, result: "" };
    throw error;
  }
}

const given = ({ parameters }: WorksheetFunction, call: Call): string =>
  call.given
    .map((text, i) => `${(parameters[i] ?? parameters[parameters.length - 1])?.id ?? ""}: ${text}`)
    .join("\n");

const sourcesOf = ({ sources }: WorksheetFunction): string =>
  sources.map(({ title, publisher }) => `${title} (${publisher})`).join("\n");

/** A row for each call in a cell. */
const callsOn = (
  sheet: string,
  { address, formula }: FormulaCell,
  knowledge: Knowledge,
): readonly (readonly string[])[] =>
  callsIn(formula).flatMap((call) => {
    const { definition } = call;
    if (definition === undefined) return [];
    const { working, result } = told(definition, call, knowledge, sheet);
    return [[sheet, address, call.text, given(definition, call), working, result, sourcesOf(definition)]];
  });

/** The rows of the sheet, its heads first. */
export function workingRows(
  sheets: readonly SheetCells[],
  knowledge: Knowledge,
): readonly (readonly string[])[] {
  const rows = sheets.flatMap((sheet) =>
    formulaCells(sheet)
      .filter(({ formula }) => mayHoldCalls(formula))
      .flatMap((cell) => callsOn(sheet.name, cell, knowledge)),
  );
  return [heads, ...rows];
}

/** A function by its name alone: nothing in a reader's file is spelt as a formula of ours. */
const unspelt = new RegExp(`\\b${namespace}\\.`, "gi");

const notInFile = "It reads what is not in this file.";

/**
 * The same for a file that goes to one reader: of a cell that reads what the file does not hold, no more is told than
 * that. What would be lines of one cell are rows, since such a file has no look for it.
 */
export function workingForReader(
  sheets: readonly SheetCells[],
  knowledge: Knowledge,
  isTold: (sheet: string, cell: FormulaCell) => boolean,
): readonly (readonly string[])[] {
  const rows = sheets.flatMap((sheet) =>
    formulaCells(sheet)
      .filter(({ formula }) => mayHoldCalls(formula))
      .flatMap((cell): (readonly string[])[] => {
        if (!isTold(sheet.name, cell)) return [[sheet.name, cell.address, "", "", notInFile]];
        const calls = attempt(() => callsOn(sheet.name, cell, knowledge));
        return "why" in calls ? [] : calls.map((row) => row.map((text) => text.replace(unspelt, "")));
      })
      .map(([name = "", address = "", call = "", ...others]) => [
        name,
        address,
        call.split("(", 1)[0] ?? "",
        ...others,
      ]),
  );
  return [heads, ...rows.flatMap(asLines)];
}

function asLines(row: readonly string[]): readonly (readonly string[])[] {
  const cells = row.map((text) => text.split("\n"));
  const lines = Math.max(...cells.map(({ length }) => length));
  return Array.from({ length: lines }, (_, i) => cells.map((pieces) => fittingCell(pieces[i] ?? "")));
}

/** Of its columns, in characters. */
export const workingWidths = [14, 8, 40, 30, 60, 20, 60];
const pointsPerCharacter = 5.6;

export async function writeWorkingSheet(
  context: RequestContext,
  sheet: Worksheet,
  rows: readonly (readonly string[])[],
): Promise<void> {
  const range = sheet.getRangeByIndexes(0, 0, rows.length, heads.length);
  await writeCells(context, [{ sheet, top: 0, left: 0, rows: rows.map((row) => row.map(fittingCell)) }]);
  range.format.wrapText = true;
  range.format.verticalAlignment = "Top";
  range.getRow(0).format.font.bold = true;
  workingWidths.forEach((width, i) => (range.getColumn(i).format.columnWidth = width * pointsPerCharacter));
  sheet.freezePanes.freezeRows(1);
  await context.sync();
}

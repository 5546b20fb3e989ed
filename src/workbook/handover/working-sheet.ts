/** One sheet that lists every cell of ours with its function, inputs, working and sources, for values handed to others. */
import { Refusal } from "../../engine/refusal";
import type { WorksheetFunction } from "../../engine/formula";
import { workingOf } from "../../engine/working";
import type { Call } from "../calls";
import { callsIn, mayHoldCalls } from "../calls";
import { arrangedFor, evaluate, NotFollowed } from "../evaluate";
import type { SheetCells } from "../sheets";
import { formulaCells } from "../sheets";
import { shortened, writeCells } from "../write-cells";
import type { Knowledge } from "./knowledge";

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

/** The rows of the sheet, its heads first. */
export function workingRows(
  sheets: readonly SheetCells[],
  knowledge: Knowledge,
): readonly (readonly string[])[] {
  const rows = sheets.flatMap((sheet) =>
    formulaCells(sheet)
      .filter(({ formula }) => mayHoldCalls(formula))
      .flatMap(({ address, formula }) =>
        callsIn(formula).flatMap((call) => {
          const { definition } = call;
          if (definition === undefined) return [];
          const { working, result } = told(definition, call, knowledge, sheet.name);
          return [
            [sheet.name, address, call.text, given(definition, call), working, result, sourcesOf(definition)],
          ];
        }),
      ),
  );
  return [heads, ...rows];
}

const widths = [14, 8, 40, 30, 60, 20, 60];
const pointsPerCharacter = 5.6;

export async function writeWorkingSheet(
  context: Excel.RequestContext,
  sheet: Excel.Worksheet,
  rows: readonly (readonly string[])[],
): Promise<void> {
  const range = sheet.getRangeByIndexes(0, 0, rows.length, heads.length);
  await writeCells(context, [{ sheet, top: 0, left: 0, rows: rows.map((row) => row.map(shortened)) }]);
  range.format.wrapText = true;
  range.format.verticalAlignment = "Top";
  range.getRow(0).format.font.bold = true;
  widths.forEach((width, i) => (range.getColumn(i).format.columnWidth = width * pointsPerCharacter));
  sheet.freezePanes.freezeRows(1);
  await context.sync();
}

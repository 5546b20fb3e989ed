/** The one wrapper between the host and every function: the engine's answer, or a cell error with its sentence. */
import { anyCalculator } from "../engine/calculate";
import type { AnyCalculator, Spilled, SpilledCell } from "../engine/calculate";
import type { WorksheetFunction } from "../engine/formula";
import { Refusal } from "../engine/refusal";

type Cell = number | string | CustomFunctions.Error;

/** An older host has no errors of its own: a plain one shows as #VALUE! there. */
function cellErrorOf({ kind, sentence }: Refusal): CustomFunctions.Error {
  if (CustomFunctions.Error === undefined) throw new Error(sentence);
  const { invalidValue, notAvailable } = CustomFunctions.ErrorCode;
  return new CustomFunctions.Error(kind === "no such row" ? notAvailable : invalidValue, sentence);
}

const isRefusal = (cell: SpilledCell): cell is Refusal => typeof cell === "object";

const shown = (cell: SpilledCell): Cell => (isRefusal(cell) ? cellErrorOf(cell) : cell);

const holdsRefusal = (rows: Spilled): boolean => {
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i] ?? [];
    for (let j = 0; j < row.length; j++) if (typeof row[j] === "object") return true;
  }
  return false;
};

/** Very many rows are not copied where none of them holds a refusal. */
const shownRows = (rows: Spilled): readonly (readonly Cell[])[] =>
  holdsRefusal(rows) ? rows.map((row) => row.map(shown)) : (rows as readonly (readonly Cell[])[]);

/**
 * The function as the host calls it; whatever follows its parameters, such as the host's own last argument, is not read.
 * It is made ready when it is first called: an error thrown while the functions are loaded would reach nobody.
 */
export function worksheetFunction(
  definition: WorksheetFunction,
): (...raw: readonly unknown[]) => Cell | readonly (readonly Cell[])[] {
  let calculate: AnyCalculator | undefined;
  return (...raw) => {
    try {
      calculate = calculate ?? anyCalculator(definition);
      const answer = calculate(...raw);
      return typeof answer === "object" ? shownRows(answer) : answer;
    } catch (refusal) {
      throw refusal instanceof Refusal ? cellErrorOf(refusal) : refusal;
    }
  };
}

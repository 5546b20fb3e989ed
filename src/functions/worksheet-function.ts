/** The one wrapper between the host and every function: the engine's answer, or a cell error with its sentence. */
import { calculator } from "../engine/calculate";
import type { Answer } from "../engine/calculate";
import type { WorksheetFunction } from "../engine/formula";
import { Refusal } from "../engine/refusal";

function asCellError(refusal: unknown): unknown {
  if (!(refusal instanceof Refusal)) return refusal;
  const { invalidValue, notAvailable } = CustomFunctions.ErrorCode;
  const code = refusal.kind === "no such row" ? notAvailable : invalidValue;
  return new CustomFunctions.Error(code, refusal.sentence);
}

/** The function as the host calls it; whatever follows its parameters, such as the host's own last argument, is not read. */
export function worksheetFunction(definition: WorksheetFunction): (...raw: readonly unknown[]) => Answer {
  const calculate = calculator(definition);
  return (...raw) => {
    try {
      return calculate(...raw);
    } catch (refusal) {
      throw asCellError(refusal);
    }
  };
}

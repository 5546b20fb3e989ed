import { cellName, quotedSheetName } from "../host/area";
import type { Spreadsheet } from "../host/spreadsheet";
import type { LateAnswers } from "../host/late-answers";
import { BUSY } from "../host/late-answers";
import { registerFirstRows } from "./first-rows";
import { invoke } from "./marshal";
import type { BlankAs, Cell, MarshalOptions } from "./marshal";
import { functionsMetadata } from "./metadata";
import type { FunctionMetadata } from "./metadata";
import { ErrorCode, runFunctionsScript } from "./script";

export interface FunctionsSource {
  /** The text of the built functions script. */
  script: string;
  /** Its functions.json, parsed. */
  metadata: unknown;
}

export const NAMESPACE = "SWARD";

type Description = Parameters<Spreadsheet["addFunction"]>[1];

/** Registers every function of a built script with the spreadsheet as `SWARD.<NAME>`, and answers their names. */
export function registerFunctions(
  library: Spreadsheet,
  source: FunctionsSource,
  blankAs: () => BlankAs,
  answers?: LateAnswers,
): string[] {
  const { functionRegistry, errorTypes } = library.registries;
  registerFirstRows(library);
  registerNotAvailable(library);
  for (const code of [...Object.values(ErrorCode), BUSY]) errorTypes.add(code);
  const { functions } = functionsMetadata(source.metadata);
  const computes = runFunctionsScript(source.script);
  const options: MarshalOptions = {
    blankAs,
    isError: (value) => typeof value === "string" && errorTypes.has(value),
  };
  return functions.map((definition) => {
    const compute = computes.get(definition.id.toUpperCase());
    if (!compute) throw new Error(`The functions script associates nothing with "${definition.id}".`);
    const name = `${NAMESPACE}.${definition.name.toUpperCase()}`;
    const description = describe(definition);
    functionRegistry.replace(name, {
      ...description,
      compute(...given) {
        const at = this.__originCellPosition;
        const address = at
          ? `${quotedSheetName(this.getters.getSheetName(at.sheetId))}!${cellName(at.col, at.row)}`
          : "";
        const invocation = { address, functionName: definition.name };
        const answer = () => withReason(invoke(compute, definition, given, invocation, options), options);
        return answers ? answers.of(at, name, given, answer) : answer();
      },
    });
    return name;
  });
}

/** NA() is the one function of the spreadsheet that gives an error without a reason. */
function registerNotAvailable({ registries: { functionRegistry } }: Spreadsheet): void {
  const known = functionRegistry.get("NA");
  functionRegistry.replace("NA", {
    ...known,
    compute: () => ({ value: ErrorCode.notAvailable, message: "No value is available." }),
  });
}

/** An error tells why, by which it is known from a text that reads like one; where nothing is said, nothing is why. */
function withReason(answer: Cell | Cell[][], options: MarshalOptions): Cell | Cell[][] {
  if (Array.isArray(answer)) return answer.map((column) => column.map((one) => reasoned(one, options)));
  return reasoned(answer, options);
}

const reasoned = (cell: Cell, { isError }: MarshalOptions): Cell =>
  isError(cell.value) ? { ...cell, message: cell.message ?? "" } : cell;

function describe({ description, parameters }: FunctionMetadata): Omit<Description, "compute"> {
  return {
    description: description ?? "",
    category: NAMESPACE,
    isExported: true,
    args: parameters.map((parameter) => ({
      name: parameter.name,
      description: parameter.description ?? "",
      type: parameter.dimensionality === "matrix" ? ["ANY", "RANGE"] : ["ANY"],
      optional: parameter.optional ?? false,
      repeating: parameter.repeating ?? false,
      // Errors and ranges reach the function's own marshalling, which treats them as the host does.
      acceptErrors: true,
      acceptMatrix: true,
    })),
  };
}

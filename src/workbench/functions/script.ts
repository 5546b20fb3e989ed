/** An error a custom function throws to show its own message in the cell. */
export class CustomFunctionsError extends Error {
  constructor(
    readonly code: string,
    message = "",
  ) {
    super(message);
    this.name = "CustomFunctionsError";
  }
}

export const ErrorCode = {
  invalidValue: "#VALUE!",
  notAvailable: "#N/A",
  divisionByZero: "#DIV/0!",
  invalidNumber: "#NUM!",
  nullReference: "#NULL!",
  invalidName: "#NAME?",
  invalidReference: "#REF!",
} as const;

export type CustomFunction = (...parameters: unknown[]) => unknown;

type Associate = (id: string | Record<string, CustomFunction>, compute?: CustomFunction) => void;

/** Runs a built functions script and answers what it associated, by id. */
export function runFunctionsScript(script: string): ReadonlyMap<string, CustomFunction> {
  const associated = new Map<string, CustomFunction>();
  const associate: Associate = (id, compute) => {
    const pairs = typeof id === "string" ? [[id, compute] as const] : Object.entries(id);
    for (const [name, pair] of pairs) if (pair) associated.set(name.toUpperCase(), pair);
  };
  const CustomFunctions = { associate, Error: CustomFunctionsError, ErrorCode };
  // The script names CustomFunctions as a global, so it has to be run where that name means ours.
  // eslint-disable-next-line @typescript-eslint/no-implied-eval
  const run = new Function("CustomFunctions", script) as (given: typeof CustomFunctions) => void;
  run(CustomFunctions);
  return associated;
}

/** What each argument of a call is for. */
import type { Parameter } from "../../engine/parameters";
import { isRepeating } from "../../engine/parameters";
import type { Call } from "./calls";
import { literalOf } from "./tokens";

/** The parameters of a call, those of the function that goes down the rows in the place of what EACH_ROW says of them. */
export function parametersOf({ definition, given }: Call): readonly Parameter[] {
  if (definition?.form !== "each row") return definition?.parameters ?? [];
  const name = String(literalOf(given[0] ?? "")).toUpperCase();
  const inner = definition.functions.find(({ id }) => id === name.split(".").pop());
  return inner === undefined
    ? definition.parameters
    : [...definition.parameters.slice(0, 1), ...inner.parameters];
}

/** What an argument is for, counted from 0; the last parameter may take all that follow. */
export function parameterAt(call: Call, position: number): Parameter | undefined {
  const parameters = parametersOf(call);
  const last = parameters[parameters.length - 1];
  return parameters[position] ?? (last !== undefined && isRepeating(last) ? last : undefined);
}

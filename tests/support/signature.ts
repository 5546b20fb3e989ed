import type { WorksheetFunction } from "../../src/engine/formula";
import { isRepeating } from "../../src/engine/parameters";

/** A function as it is called, such as `PACKS(need, pack, [short_allowed])`. */
export function signature({ id, parameters }: WorksheetFunction): string {
  const names = parameters.map((parameter) =>
    isRepeating(parameter)
      ? `${parameter.id}...`
      : parameter.blank === "default"
        ? `[${parameter.id}]`
        : parameter.id,
  );
  return `${id}(${names.join(", ")})`;
}

/** What every sheet of a bid is planned with: units, our functions by name. */
import { functionNamed, namespace } from "../../engine/catalogue";
import { unitsPosition } from "../../engine/formula";
import type { QuantityKind, UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import type { SheetNames } from "./bid-sheets";
import { parameterOf } from "./entry";
import type { JobInput } from "./job";

/** The texts that a parameter takes. */
export function choicesOf(id: string, parameter: string): readonly string[] {
  const found = parameterOf(id, parameter);
  return found.takes === "text" ? (found.choices ?? []) : [];
}

export class Kit {
  constructor(
    readonly system: UnitSystem,
    readonly property: string,
    /** The job filled in, or undefined for empty input cells. */
    readonly job: JobInput | undefined,
    readonly names: SheetNames,
  ) {}

  unit(kind: QuantityKind): string {
    return unitText(kind, this.system);
  }

  /** A call of ours: arguments in the order of the parameters, the unit system where it is not the default. */
  call(id: string, ...given: readonly (string | number)[]): string {
    const definition = functionNamed(id);
    if (definition === undefined) throw new Error(`There is no function ${id}`);
    const texts = given.map(String);
    const position = unitsPosition(definition);
    if (this.system === "metric" && position >= 0) {
      while (texts.length < position) texts.push("");
      texts.push('"metric"');
    }
    return `${namespace}.${id}(${texts.join(",")})`;
  }

  /** A figure as words, such as `1,234.5 lb`, for sentences that follow the sheet. */
  words(reference: string, decimals: number, unit = ""): string {
    const places = decimals === 0 ? "" : `.${"0".repeat(decimals)}`;
    return `TEXT(${reference},"#,##0${places}")&"${unit === "" ? "" : ` ${unit}`}"`;
  }
}

/** A step whose rate is not filled in is left out of the job and costs nothing. */
export const whereSet = (cell: string, formula: string): string => `IF(${cell}=0,0,${formula})`;

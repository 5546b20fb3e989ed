/** What stands in the cells that a form refers to. */
import type { Parameter } from "../../../engine/parameters";
import type { UnitSystem } from "../../../engine/units";
import { asSentence } from "../../../workbook/host";
import { readAddress } from "../../../workbook/own-sheets";
import type { Behind } from "../../form-model";
import { shownValue } from "../../words";

const valuesAt = (reference: string): Promise<Behind> =>
  readAddress(reference).then(
    (values): Behind => ({ values }),
    (error: unknown): Behind => ({ trouble: asSentence(error) }),
  );

/** What is known of a reference is not asked for again. */
export async function readBehind(
  references: readonly string[],
  known: ReadonlyMap<string, Behind>,
): Promise<ReadonlyMap<string, Behind>> {
  const read = await Promise.all(
    references.map(async (reference): Promise<readonly [string, Behind]> => {
      const before = known.get(reference);
      return [reference, before ?? (await valuesAt(reference))];
    }),
  );
  return new Map(read);
}

export function holdsText(
  parameter: Parameter,
  references: readonly string[],
  behind: ReadonlyMap<string, Behind>,
  system: UnitSystem,
): string | undefined {
  const told = references.flatMap((reference) => {
    const found = behind.get(reference);
    if (found === undefined || "trouble" in found) return [];
    return [`${reference} holds ${shownValue(found.values, parameter, system)}`];
  });
  return told.length === 0 ? undefined : told.join("; ");
}

/** Calls of ours as a file stores them and as they are typed. */
import { namespace } from "../../engine/catalogue";

/** How a file stores a call of ours, before the namespace's dot was made an underscore; behind a mark it is another file's. */
const storedCall = new RegExp(
  `"(?:[^"]|"")*"|'(?:[^']|'')*'|(?<![!\\w.])_xldudf_${namespace}_([A-Z0-9_]+)(?=\\()`,
  "gi",
);

/**
 * A formula with stored calls spelt as they are typed: `_xldudf_SWARD_PACKS(` becomes `SWARD.PACKS(`. One of another
 * workbook has that before it and stays, and so does what a text says or a sheet is called.
 */
export const asTyped = (formula: string): string =>
  formula.replace(storedCall, (stored, name: string | undefined, at: number) =>
    name === undefined || formula.charAt(at - 1) === "!" ? stored : `${namespace}.${name}`,
  );

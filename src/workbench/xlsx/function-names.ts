import { NAMESPACE } from "../functions/register";

/** Text in quotes, be it a string or a sheet's name, or one of our functions' names. */
const shown = new RegExp(`"(?:[^"]|"")*"|'(?:[^']|'')*'|\\b${NAMESPACE}\\.([A-Z0-9_.]+)(?=\\s*\\()`, "gi");
const stored = new RegExp(
  `"(?:[^"]|"")*"|'(?:[^']|'')*'|\\b_xldudf_${NAMESPACE}_([A-Z0-9_.]+)(?=\\s*\\()`,
  "gi",
);

/** A formula with our functions spelt as the host stores them in a file. */
export const toStored = (formula: string): string =>
  formula.replace(shown, (part: string, name?: string) =>
    name ? `_xldudf_${NAMESPACE}_${name.toUpperCase().replaceAll(".", "_")}` : part,
  );

/** A stored formula with our functions spelt as users write them. */
export const toShown = (formula: string): string =>
  formula.replace(stored, (part: string, name?: string) =>
    name ? `${NAMESPACE}.${name.toUpperCase()}` : part,
  );

export const callsOurs = (formula: string): boolean => toStored(formula) !== formula;

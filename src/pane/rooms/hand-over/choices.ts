/** The ways to hand over as they are offered, and what a file will hold, in plain words. */
import type { PageWanted, WayId } from "../../../workbook/handover";
import { ways } from "../../../workbook/handover";

export const choices = Object.fromEntries(
  Object.entries(ways).map(([id, { label }]) => [id, label]),
) as Readonly<Record<WayId, string>>;

export type Holds = "values" | "formulas";

export const holdsOptions: Record<Holds, string> = {
  values: "Values",
  formulas: "Formulas, where all that they read is in the file",
};

const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1] ?? ""}`;

export const seesCosts = (sheets: readonly string[]): string =>
  `What you pay is printed on ${listed(sheets)}: whoever gets the file sees it.`;

const workingTold =
  "A sheet Working says how each of our figures came about, but of those that read what is not in the file.";

/** What the file will hold and what not, told before it is made. */
export function fileHolds(
  pages: readonly PageWanted[],
  others: number,
  holds: Holds,
  withWorking: boolean,
): string {
  const parts = pages.flatMap(({ sheet, columns }) =>
    columns === undefined ? [] : [` Of ${sheet} only the columns ${listed(columns)}.`],
  );
  const rest = others === 0 ? "" : others === 1 ? "the other sheet, " : `the ${others} other sheets, `;
  const formulas = holds === "values" ? "formulas, " : "formulas that read anything else, ";
  return (
    `The file will hold ${listed(pages.map(({ sheet }) => sheet))}, as printed.${parts.join("")} ` +
    (withWorking ? `${workingTold} ` : "") +
    `Not in it: ${rest}${formulas}comments, hidden rows and columns, what is not printed, charts, names, the file's properties.`
  );
}

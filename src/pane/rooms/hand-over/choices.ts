/** The ways to hand over, in plain words: said once for the choice, the button and what stands below it. */
import type { PageWanted, ReaderId } from "../../../workbook/handover";
import { handOverWays, readers } from "../../../workbook/handover";

export type Choice = "office" | "short" | ReaderId | "beside";

/** The ways of the choices that convert our functions and leave all else as it is. */
export const ways = { office: "native formulas", short: "short native formulas" } as const;

export const choices: Record<Choice, string> = {
  office: "An office that edits: ordinary formulas, which can be brought back",
  short: "The same in short formulas, which cannot be brought back",
  client: readers.client.label,
  crew: readers.crew.label,
  supplier: readers.supplier.label,
  own: readers.own.label,
  beside: "Nobody yet: values on new sheets beside these",
};

export const isOffice = (choice: Choice): choice is keyof typeof ways => choice in ways;

export const isReader = (choice: Choice): choice is ReaderId => choice in readers;

export const buttonText: Record<Choice, string> = {
  office: "Hand over as ordinary formulas",
  short: "Hand over as short formulas",
  client: "Make the file for the client",
  crew: "Make the file for the crew",
  supplier: "Make the file for a supplier",
  own: "Make the file",
  beside: "Add the sheets",
};

const allSeen = "Costs, wages and margins are seen as they are here.";

export const hints: Record<Choice, string> = {
  office: `${handOverWays[ways.office].told} ${allSeen}`,
  short: `${handOverWays[ways.short].told} ${allSeen}`,
  client: readers.client.gets,
  crew: readers.crew.gets,
  supplier: readers.supplier.gets,
  own: readers.own.gets,
  beside:
    "A copy of each sheet that you tick, with the numbers it shows now; the sheets themselves stay as they are. To send them to anyone, make a file: this workbook holds everything else as well.",
};

/** The file's name where the person has to save it. */
export const fileNames: Record<ReaderId, string> = {
  client: "For the client",
  crew: "For the crew",
  supplier: "For the supplier",
  own: "Handed over",
};

export type Holds = "values" | "formulas";

export const holdsOptions: Record<Holds, string> = {
  values: "Values",
  formulas: "Formulas, where all that they read is in the file",
};

/** Those who may want to change a figure and see what follows. */
export const mayHoldFormulas: ReadonlySet<Choice> = new Set<Choice>(["crew", "own"]);

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

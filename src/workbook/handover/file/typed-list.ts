/** The list of what was typed, added to a file where its cells carry their originals. */
import type { CellNote, Progress } from "../../host";
import { blockOf, inSlices, slices } from "../../host";
import type { Line } from "../handed-list";
import { linesFor } from "../handed-list";
import { addingList } from "./list-part";
import type { PackageParts } from "./package-parts";
import { notCalculated } from "./settled";
import { TimeLooks } from "./time-looks";
import type { ReadSheet } from "./opened-file";
import type { Planned } from "./planned-sheets";

/** Filled cells that a list is made of: it holds each of them, and what a formula reads, at once. */
const mostListed = 400_000;

export const isListable = (sheets: readonly ReadSheet[]): boolean =>
  sheets.reduce((sum, { part: { held } }) => sum + held.length, 0) <= mostListed;

export const noList: CellNote = {
  sheet: "",
  address: "list of what was typed",
  formula: "",
  note: `Left out: the sheets hold more than ${mostListed.toLocaleString("en-US")} filled cells. The functions come back without it.`,
};

/** Adds the list of what was typed into the sheets that are handed over, if any is. */
export async function listed(
  parts: PackageParts,
  workbook: string,
  handed: readonly Planned[],
  progress: Progress,
): Promise<string | undefined> {
  const pause = slices(progress, "Listing what was typed");
  const converted = handed.filter(({ writes }) => writes.length > 0);
  if (converted.length === 0) return undefined;
  const lines = await inSlices(
    linesFor(
      converted.map(({ sheet: { name }, part: { held } }) => held.asSheet(name, notCalculated)),
      converted.flatMap(({ sheet: { name }, writes }) => writes.map((write) => ({ ...write, sheet: name }))),
    ),
    pause,
  );
  const looks = new TimeLooks(parts, workbook);
  const stores = new Map(converted.map(({ sheet: { name }, part: { held } }) => [name, held]));
  const lookOf = ({ cells: [sheet, cell, held] }: Line): number | undefined => {
    const place = typeof held === "number" ? blockOf(cell) : undefined;
    return place === undefined
      ? undefined
      : looks.like(stores.get(sheet)?.lookOf(place.top, place.left) ?? 0);
  };
  const list = await inSlices(addingList(parts, workbook, lines, lookOf), pause);
  looks.write();
  return list;
}

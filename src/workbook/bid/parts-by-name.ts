/**
 * The parts of a bid are found again by names of their sheets: they follow inserted rows, moved columns, renamed and
 * copied sheets, a move to another workbook and a round trip through another program, whatever the labels say by then.
 */
import type { UnitSystem } from "../../engine/units";
import { unitSystems } from "../../engine/units";
import type { Range, Worksheet } from "../host";
import { forNow } from "../host";
import { nameOfId } from "./declare/declared";
import type { BidSheet } from "./bid-sheets";
import { bidSheets } from "./bid-sheets";
import type { NamedBlock, SheetPlan } from "./plan";

const markPrefix = "Swardsheet";

/** The name by which a sheet says which sheet of a bid it is, and in which units; it stands for the bid's Site. */
const markOf = (which: BidSheet, system: UnitSystem): string =>
  [markPrefix, nameOfId(which), nameOfId(system)].join("_");

export interface Mark {
  readonly which: BidSheet;
  readonly system: UnitSystem;
}

const marks: ReadonlyMap<string, Mark> = new Map(
  bidSheets.flatMap((which) =>
    unitSystems.map((system) => [markOf(which, system).toLowerCase(), { which, system }] as const),
  ),
);

/** What a name says of its sheet, if it is such a mark. */
export const markIn = (name: string): Mark | undefined => marks.get(name.toLowerCase());

const rangeOf = (sheet: Worksheet, { top, left, bottom, right }: NamedBlock): Range =>
  forNow(sheet.getRangeByIndexes(top - 1, left - 1, bottom - top + 1, right - left + 1));

/** Gives a sheet the names of its parts, and its mark. The mark stands for all of Site, of which some is always left. */
export function nameParts(
  sheet: Worksheet,
  plan: SheetPlan,
  mark: Mark,
  site: { readonly sheet: Worksheet; readonly plan: SheetPlan },
): void {
  for (const [name, block] of plan.names) sheet.names.add(name, rangeOf(sheet, block));
  const { rows, columns } = site.plan.size;
  const whole = rangeOf(site.sheet, { top: 1, left: 1, bottom: rows, right: columns });
  sheet.names.add(markOf(mark.which, mark.system), whole);
}

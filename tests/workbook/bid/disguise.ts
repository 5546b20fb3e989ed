/** A bid as somebody else would have it: every label and heading in other words, every sheet by another name. */
import type { UnitSystem } from "../../../src/engine/units";
import type { Workbench } from "../../../src/workbench/node";
import type { BidSheet, SheetNames } from "../../../src/workbook/bid/bid-sheets";
import { bidSheetNames, forEachSheet } from "../../../src/workbook/bid/bid-sheets";
import { planBid } from "../../../src/workbook/bid/plan-bid";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { letters } from "./reading";

/** Names that a reader of references may trip over. */
const strange: Readonly<Partial<Record<BidSheet, string>>> = {
  site: "Участок",
  outlines: "2026",
  materials: "Größen & Preise",
  quantities: "Sums of May, 2",
  order: "TRUE",
  bid: "Angebot",
  crew: "A1",
  record: "Protokoll",
  watering: "Wasser",
  review: "R1C1",
};

export const otherNames: SheetNames = forEachSheet((which) => strange[which] ?? `Лист ${which}`);

/** Puts other words in the place of every typed text of the sheets that nobody is asked to fill in. */
export function reword(bench: Workbench, system: UnitSystem): void {
  const plans = planBid({ system, property: "", job: sampleProperty[system] });
  let words = 0;
  for (const plan of Object.values(plans)) {
    const cells = plan.cells.flatMap(({ row, column, content, role }) =>
      typeof content === "string" && content !== "" && role !== "input" && role !== "title"
        ? [[`${letters(column)}${row}`, `слово ${words++}`] as const]
        : [],
    );
    bench.setCells(plan.name, Object.fromEntries(cells));
  }
}

export const rename = (names: SheetNames): Promise<void> =>
  Excel.run(async (context) => {
    for (const [which, name] of Object.entries(names) as [BidSheet, string][])
      context.workbook.worksheets.getItem(bidSheetNames[which]).name = name;
    await context.sync();
  });

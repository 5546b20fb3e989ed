/** A bid as somebody else would have it: every label and heading in other words, every sheet by another name. */
import type { UnitSystem } from "../../../src/engine/units";
import type { Workbench } from "../../../src/workbench/node";
import type { BidSheet } from "../../../src/workbook/bid/kit";
import { planBid } from "../../../src/workbook/bid/plan-bid";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { letters } from "./reading";

export const otherNames: Readonly<Record<BidSheet, string>> = {
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

export const rename = (names: Readonly<Record<BidSheet, string>>): Promise<void> =>
  Excel.run(async (context) => {
    for (const [which, name] of Object.entries(names)) {
      const now = which.charAt(0).toUpperCase() + which.slice(1);
      context.workbook.worksheets.getItem(now).name = name;
    }
    await context.sync();
  });

/** A workbook as an earlier edition handed it over, with its very hidden sheet of originals. */
import { readFileSync } from "node:fs";
import type { Workbench } from "../../../src/workbench/node";

export type Book = Record<string, Record<string, string | number>>;

export const earlierBook = JSON.parse(
  readFileSync(new URL("fixtures/earlier-edition.json", import.meta.url), "utf8"),
) as Record<"before" | "native" | "values", Book>;

export const originals = "Swardsheet originals";

/** Opens such a workbook, or a forged one, and waits until it is calculated. */
export async function openEarlier(bench: Workbench, book: Book): Promise<void> {
  bench.reset(Object.keys(book).map((name) => ({ name })));
  for (const [sheet, cells] of Object.entries(book))
    bench.setCells(
      sheet,
      Object.fromEntries(Object.entries(cells).map(([cell, content]) => [cell, String(content)])),
    );
  await Excel.run(async (context) => {
    context.workbook.worksheets.getItem(originals).visibility = "VeryHidden";
    await context.sync();
  });
  await bench.calculated();
}

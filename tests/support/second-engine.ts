/** A spreadsheet engine that knows nothing of ours: what it makes of a native formula over some cells. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { initSync, Model } from "@ironcalc/wasm";

const wasm = createRequire(import.meta.url).resolve("@ironcalc/wasm/wasm_bg.wasm");
let started = false;

/** The value of a formula in the last column of a sheet that holds these cells from A1 on; null leaves a cell blank. */
export function calculated(
  cells: readonly (readonly (number | string | null)[])[],
  formula: string,
): number | string {
  if (!started) initSync({ module: readFileSync(wasm) });
  started = true;
  const model = new Model("cells", "en", "UTC", "en");
  cells.forEach((row, i) =>
    row.forEach((cell, j) => {
      if (cell !== null)
        model.setUserInput(0, i + 1, j + 1, typeof cell === "string" ? `'${cell}` : String(cell));
    }),
  );
  const column = 26;
  model.setUserInput(0, 1, column, `=${formula}`);
  model.evaluate();
  const shown = model.getFormattedCellValue(0, 1, column);
  model.free();
  return shown !== "" && Number.isFinite(Number(shown)) ? Number(shown) : shown;
}

/**
 * A second spreadsheet engine beside LibreOffice, one that is itself tested against workbooks that Excel calculated.
 * It runs inside the test's own process.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { initSync, Model } from "@ironcalc/wasm";
import type { CellContent, CellValue, SheetValues } from "./libreoffice";
import { grouped, position } from "./libreoffice";

let started = false;

function start(): void {
  if (started) return;
  const path = createRequire(import.meta.url).resolve("@ironcalc/wasm/wasm_bg.wasm");
  initSync({ module: readFileSync(path) });
  started = true;
}

/** What a cell's kind is called by the engine. */
const kinds = { number: 1, text: 2, logical: 4, error: 16 } as const;

/** Digits that a number is read with. */
const exactly = "0.00000000000000E+00";

/** What a person types for a value: a text that might be read as something else keeps its apostrophe. */
const typed = (content: string | number | boolean): string =>
  typeof content === "string"
    ? content.startsWith("=")
      ? content
      : `'${content}`
    : String(content).toUpperCase();

function read(model: Model, sheet: number, row: number, column: number): CellValue {
  const kind = model.getCellType(sheet, row, column);
  const shown = model.getFormattedCellValue(sheet, row, column);
  if (kind === kinds.number) return shown === "" ? null : Number(shown);
  return kind === kinds.logical ? shown === "TRUE" : shown;
}

/** A workbook that holds just these cells and is not evaluated yet, with the size of each sheet. */
function written(cells: readonly CellContent[]) {
  start();
  const model = new Model("workbook", "en", "UTC", "en");
  model.pauseEvaluation();
  const sheets = [...grouped(cells, ({ sheet }) => sheet)];
  sheets.forEach(([name], i) => {
    if (i > 0) model.newSheet();
    model.renameSheet(i, name);
  });
  const sized = sheets.map(([name, content], sheet) => {
    const placed = content.map((cell) => ({ ...cell, ...position(cell.address) }));
    for (const cell of placed) model.setUserInput(sheet, cell.row, cell.column, typed(cell.content));
    const size = (of: "row" | "column") => placed.reduce((most, cell) => Math.max(most, cell[of]), 0);
    return { name, sheet, height: size("row"), width: size("column") };
  });
  return { model, sized };
}

/** How long the engine takes to evaluate the workbook as a whole, so many times, in milliseconds. */
export function evaluationTimes(cells: readonly CellContent[], rounds: number): readonly number[] {
  const { model } = written(cells);
  const times = Array.from({ length: rounds }, () => {
    const begun = performance.now();
    model.evaluate();
    return performance.now() - begun;
  });
  model.free();
  return times;
}

/** Recalculates a workbook that holds just these cells; the numbers have fifteen digits. */
export function recalculateInIronCalc(cells: readonly CellContent[]): SheetValues {
  const { model, sized } = written(cells);
  model.evaluate();
  const values: SheetValues = new Map();
  for (const { name, sheet, height, width } of sized) {
    model.updateRangeStyle({ sheet, row: 1, column: 1, height, width }, "num_fmt", exactly);
    values.set(
      name,
      Array.from({ length: height }, (_row, row) =>
        Array.from({ length: width }, (_column, column) => read(model, sheet, row + 1, column + 1)),
      ),
    );
  }
  model.free();
  return values;
}

/** The value of one formula over cells from A1 on; null leaves a cell blank. */
export function calculated(
  cells: readonly (readonly (number | string | null)[])[],
  formula: string,
): CellValue {
  const address = (row: number, column: number) => `${String.fromCharCode(65 + column)}${row + 1}`;
  const content = cells.flatMap((row, i) =>
    row.flatMap((cell, j) => (cell === null ? [] : [{ sheet: "S", address: address(i, j), content: cell }])),
  );
  const values = recalculateInIronCalc([...content, { sheet: "S", address: "Z1", content: `=${formula}` }]);
  return values.get("S")?.[0]?.[25] ?? null;
}

/** What a workbook holds, read from the spreadsheet itself and not through what is tested. */
import type { Workbench } from "../../../src/workbench/node";

export interface SheetState {
  readonly id: string;
  readonly name: string;
  readonly isVisible: boolean;
  /** Formulas and figures by "row,column", counted from 0. */
  readonly cells: ReadonlyMap<string, string>;
  readonly rules: number;
  readonly pictures: number;
}

export interface State {
  readonly sheets: readonly SheetState[];
  readonly comments: number;
  readonly marks: readonly string[];
}

export function stateOf(bench: Workbench): State {
  const { getters } = bench.model;
  const sheets = getters.getSheetIds().map((id): SheetState => {
    const cells = new Map<string, string>();
    for (const cell of getters.getCells(id)) {
      const { row, col } = getters.getCellPosition(cell.id);
      const content = cell.isFormula ? cell.compiledFormula.toFormulaString(getters) : cell.content;
      if (content !== "") cells.set(`${row},${col}`, content);
    }
    return {
      id,
      name: getters.getSheetName(id),
      isVisible: getters.isSheetVisible(id),
      cells,
      rules: getters.getDataValidationRules(id).flatMap(({ ranges }) => ranges).length,
      pictures: getters.getFigures(id).length,
    };
  });
  const under = (prefix: string) => bench.keptUnder(prefix).filter(([, value]) => value !== null);
  return {
    sheets,
    comments: under("comment/").length,
    marks: under("setting/").map(([key]) => key),
  };
}

/** The spreadsheet's own types. Its code is loaded unmodified at run time and handed in, never imported. */
import type * as Library from "@odoo/o-spreadsheet";

export type Spreadsheet = typeof Library;
export type Model = Library.Model;
export type Getters = Model["getters"];
export type WorkbookData = ReturnType<Model["exportData"]>;
export type DispatchResult = Library.DispatchResult;
export type Style = NonNullable<ReturnType<Getters["getCellStyle"]>>;

export interface Zone {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

export interface Position {
  sheetId: string;
  col: number;
  row: number;
}

/** The commands that the spreadsheet knows and those of the host's own plug-ins, which its types do not name. */
export interface HostCommand {
  type: string;
  key?: string;
  value?: unknown;
  cellIds?: readonly number[];
  name?: string;
  oldRangeName?: string;
  newRangeName?: string;
  sheetId?: string;
  sheetIdTo?: string;
}

/**
 * Handing a sheet over: every call of our functions becomes plain worksheet arithmetic, and comes back exactly. Each
 * cell carries its own original, so that it survives whoever edits the file.
 */
import { Knowledge, mayHoldCalls } from "../formulas";
import { mentionsCarrier } from "./carrier";
import { withDaysTold } from "./days-told";
import { readEarlierEdition } from "./earlier/originals";
import { stillHanded } from "./earlier/sort-earlier";
import type { CellEdit } from "./handed-list";
import { changesSince, isHandedList } from "./handed-list";
import { looseStates } from "./loose-states";
import { lookingWhat } from "./bring-back";
import type { EditedCell } from "./sort-out";
import { sortedOut } from "./sort-out";
import { readInWorkbook, Trust } from "./trusted";
import type { Progress } from "../host";
import {
  cellAddress,
  eachFormula,
  inSlices,
  inWorkbook,
  readSheets,
  shareDown,
  slices,
  untold,
} from "../host";

export interface SheetState {
  readonly name: string;
  /** Cells, names and rules that hold our functions. */
  readonly calls: number;
  /** Cells, names and rules that are native now, with their originals kept. */
  readonly handedOver: number;
}

/** The sheets with how many of their cells, names and rules hold our functions, or did. */
export const sheetStates = (): Promise<readonly SheetState[]> =>
  inWorkbook(async (context) => {
    const sheets = (await readSheets(context)).filter((one) => !isHandedList(one));
    const loose = await looseStates(
      context,
      sheets.map(({ name }) => name),
    );
    const earlier = await readEarlierEdition(context);
    const pause = slices(untold, lookingWhat);
    const states: SheetState[] = [];
    for (const sheet of sheets) {
      let [calls, handedOver] = [0, stillHanded(earlier?.formulas ?? [], sheet)];
      for (const cell of eachFormula(sheet)) {
        if (mayHoldCalls(cell.formula)) calls++;
        if (mentionsCarrier(cell.formula)) handedOver++;
        await pause(shareDown(sheet, cell), 1);
      }
      for (const { isHandedOver } of loose.filter((one) => one.sheet === sheet.name)) {
        if (isHandedOver) handedOver++;
        else calls++;
      }
      states.push({ name: sheet.name, calls, handedOver });
    }
    return states;
  });

export interface EditsSince {
  readonly edits: readonly CellEdit[];
  /** Why what was typed since cannot be told. */
  readonly missing?: string;
}

/** What others changed since the hand-over, cell by cell, as far as the workbook still tells. */
export const editsSinceHandOver = (progress: Progress = untold): Promise<EditsSince> =>
  inWorkbook(async (context) => {
    const sheets = await readSheets(context, progress);
    const knowledge = new Knowledge(sheets);
    const trust = new Trust(await readInWorkbook(context));
    const pause = slices(progress, lookingWhat);
    const edited: EditedCell[] = [];
    for (const sheet of sheets) edited.push(...(await sortedOut(sheet, knowledge, trust, pause)).edited);
    const formulas = edited.map(({ sheet, row, column, original, told }): CellEdit => ({
      sheet,
      address: cellAddress(row, column),
      kind: "formula",
      old: original,
      now: told.note,
    }));
    const typed = await withDaysTold(context, await inSlices(changesSince(sheets), pause));
    const edits = [...typed, ...formulas];
    if (sheets.some(isHandedList)) return { edits };
    const missing =
      "The sheet that lists what was typed at the hand-over is not there: what others typed since cannot be told.";
    return { edits, missing };
  });

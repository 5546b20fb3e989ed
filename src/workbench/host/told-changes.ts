/** What the host tells its listeners of a command, done, taken back or done again. */
import { MAX_COLUMNS, MAX_ROWS } from "./area";
import type { Getters, Zone } from "./spreadsheet";
import type { EventNumber } from "./events";
import { EventType } from "./events";

export interface Command {
  type: string;
  sheetId?: string;
  sheetIdTo?: string;
  col?: number;
  row?: number;
  content?: string;
  target?: Zone[];
  newName?: string;
  oldName?: string;
  dimension?: "ROW" | "COL";
  base?: number;
  quantity?: number;
  position?: "before" | "after";
  elements?: readonly number[];
  zone?: Zone;
  shiftDimension?: "ROW" | "COL";
  delta?: number;
  commands?: readonly Command[];
  cellIds?: readonly number[];
}

/** A sheet that came, went, moved or was renamed. */
export interface SheetChange {
  readonly type: EventNumber;
  readonly sheetId: string;
  readonly args: object;
}

/** Cells that were put in or taken out, with what that did to those after them. */
export interface Shift {
  readonly sheetId: string;
  readonly changeType: string;
  readonly shiftDirection: string;
  readonly zone: Zone;
}

/** A command, and whether it was taken back. */
export interface Step {
  readonly command: Command;
  readonly isUndone: boolean;
}

/** An undo takes back the steps of another command, from the last to the first; a redo does them one by one itself. */
export function stepsOf({ type, commands = [], ...rest }: Command): readonly Step[] {
  if (type !== "UNDO") return [{ command: { type, ...rest }, isUndone: false }];
  return commands.map((command) => ({ command, isUndone: true })).reverse();
}

const whole = (dimension: "ROW" | "COL", first: number, last: number): Zone =>
  dimension === "ROW"
    ? { left: 0, right: MAX_COLUMNS - 1, top: first, bottom: last }
    : { left: first, right: last, top: 0, bottom: MAX_ROWS - 1 };

/** Runs of numbers that follow each other. */
function runsOf(elements: readonly number[]): readonly (readonly [first: number, last: number])[] {
  const runs: [number, number][] = [];
  for (const element of [...elements].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last?.[1] === element - 1) last[1] = element;
    else runs.push([element, element]);
  }
  return runs;
}

/** Rows, columns or cells that a step put in or took out. */
export function shiftsOf({ command, isUndone }: Step, getters: Getters): readonly Shift[] {
  const { type, sheetId = "", dimension = "ROW", elements = [], quantity = 0, base = 0 } = command;
  const headers = dimension === "ROW" ? "Row" : "Column";
  const shift = (inserted: boolean, first: number, last: number): Shift => ({
    sheetId,
    changeType: `${headers}${inserted ? "Inserted" : "Deleted"}`,
    shiftDirection: "None",
    zone: whole(dimension, first, last),
  });
  if (type === "ADD_COLUMNS_ROWS") {
    const first = command.position === "before" ? base : base + 1;
    const end = isUndone ? first : first + quantity;
    // The host's sheets have all their rows from the start: growth at the end is nothing that happens there.
    if (getters.tryGetSheet(sheetId) && end === getters.getNumberHeaders(sheetId, dimension)) return [];
    return [shift(!isUndone, first, first + quantity - 1)];
  }
  if (type === "REMOVE_COLUMNS_ROWS") {
    const runs = runsOf(elements).map(([first, last]) => shift(isUndone, first, last));
    return isUndone ? runs : runs.reverse();
  }
  if ((type === "INSERT_CELL" || type === "DELETE_CELL") && command.zone) {
    const isInsert = type === "INSERT_CELL";
    const [row, column] = isInsert ? ["Down", "Right"] : ["Up", "Left"];
    return [
      {
        sheetId: getters.getActiveSheetId(),
        changeType: isInsert ? "CellInserted" : "CellDeleted",
        shiftDirection: (command.shiftDimension === "ROW" ? row : column) ?? "None",
        zone: command.zone,
      },
    ];
  }
  return [];
}

/** Sheets that a step brought, took, moved, renamed, hid or showed. */
export function sheetChangeOf({ command, isUndone }: Step, getters: Getters): SheetChange | undefined {
  const { type, sheetId = "", sheetIdTo = "", oldName, newName, delta = 0 } = command;
  const changed = (event: EventNumber, args: object = {}, id = sheetId): SheetChange => ({
    type: event,
    sheetId: id,
    args,
  });
  const came = (id = sheetId) => changed(EventType.Added, {}, id);
  const went = (id = sheetId) => changed(EventType.Deleted, {}, id);
  const visibility = (isShown: boolean) =>
    changed(EventType.VisibilityChanged, {
      visibilityBefore: isShown ? "Hidden" : "Visible",
      visibilityAfter: isShown ? "Visible" : "Hidden",
    });
  switch (type) {
    case "CREATE_SHEET":
      return isUndone ? went() : came();
    case "DUPLICATE_SHEET":
      return isUndone ? went(sheetIdTo) : came(sheetIdTo);
    case "DELETE_SHEET":
      return isUndone ? came() : went();
    case "RENAME_SHEET": {
      const [nameBefore, nameAfter] = isUndone ? [newName, oldName] : [oldName, newName];
      return changed(EventType.NameChanged, { nameBefore, nameAfter });
    }
    case "MOVE_SHEET": {
      const positionAfter = getters.getSheetIds().indexOf(sheetId);
      return changed(EventType.Moved, {
        positionBefore: positionAfter - (isUndone ? -delta : delta),
        positionAfter,
      });
    }
    case "HIDE_SHEET":
    case "SHOW_SHEET":
      return visibility((type === "SHOW_SHEET") !== isUndone);
    default:
      return undefined;
  }
}

const CONTENT_COMMANDS = new Set(["UPDATE_CELL", "CLEAR_CELL", "CLEAR_CELLS", "DELETE_CONTENT"]);

/** The cells whose contents a step changed. */
export function editedBy({ command }: Step): readonly Zone[] {
  const { type, col, row, content, target } = command;
  if (!CONTENT_COMMANDS.has(type) || (type === "UPDATE_CELL" && content === undefined)) return [];
  if (col === undefined || row === undefined) return target ?? [];
  return [{ left: col, right: col, top: row, bottom: row }];
}

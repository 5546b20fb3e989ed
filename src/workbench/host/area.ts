import { stringifyA1Ref } from "@borgar/fx";
import { invalidArgument } from "../protocol/host-error";
import type { Zone } from "./spreadsheet";

/** The sizes of a worksheet in the host this stands in for; whole columns and rows reach to these. */
export const MAX_ROWS = 1_048_576;
export const MAX_COLUMNS = 16_384;

export interface Area {
  sheetId: string;
  zone: Zone;
}

export const rowsOf = (zone: Zone) => zone.bottom - zone.top + 1;
export const columnsOf = (zone: Zone) => zone.right - zone.left + 1;
export const isWholeColumns = (zone: Zone) => zone.top === 0 && zone.bottom === MAX_ROWS - 1;
export const isWholeRows = (zone: Zone) => zone.left === 0 && zone.right === MAX_COLUMNS - 1;
export const isUnbounded = (zone: Zone) => isWholeColumns(zone) || isWholeRows(zone);

export const sameZone = (one: Zone, other: Zone) =>
  one.left === other.left &&
  one.right === other.right &&
  one.top === other.top &&
  one.bottom === other.bottom;

export function intersection(one: Zone, other: Zone): Zone | null {
  const zone = {
    left: Math.max(one.left, other.left),
    right: Math.min(one.right, other.right),
    top: Math.max(one.top, other.top),
    bottom: Math.min(one.bottom, other.bottom),
  };
  return zone.left <= zone.right && zone.top <= zone.bottom ? zone : null;
}

export const union = (one: Zone, other: Zone): Zone => ({
  left: Math.min(one.left, other.left),
  right: Math.max(one.right, other.right),
  top: Math.min(one.top, other.top),
  bottom: Math.max(one.bottom, other.bottom),
});

export function columnLetters(column: number): string {
  let letters = "";
  for (let rest = column + 1; rest > 0; rest = Math.floor((rest - 1) / 26)) {
    letters = String.fromCharCode(65 + ((rest - 1) % 26)) + letters;
  }
  return letters;
}

const columnNumber = (letters: string) =>
  [...letters.toUpperCase()].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;

export const cellName = (column: number, row: number) => `${columnLetters(column)}${row + 1}`;

export function zoneName(zone: Zone): string {
  if (isWholeColumns(zone) && !isWholeRows(zone)) {
    return `${columnLetters(zone.left)}:${columnLetters(zone.right)}`;
  }
  if (isWholeRows(zone) && !isWholeColumns(zone)) return `${zone.top + 1}:${zone.bottom + 1}`;
  const first = cellName(zone.left, zone.top);
  const last = cellName(zone.right, zone.bottom);
  return first === last ? first : `${first}:${last}`;
}

const FIRST_CELL = { top: 0, left: 0, bottom: 0, right: 0 };

/** A sheet name as an address needs it: quoted where it would read as a cell, a number or a word of formulas. */
export const quotedSheetName = (name: string) =>
  stringifyA1Ref({ context: [name], range: FIRST_CELL }).slice(0, -"!A1".length);

export interface SplitAddress {
  sheetName: string | null;
  local: string;
}

export function splitAddress(address: string): SplitAddress {
  const match = /^(?:'((?:[^']|'')+)'|([^'!]+))!(.+)$/.exec(address.trim());
  if (!match) return { sheetName: null, local: address.trim() };
  return { sheetName: match[1]?.replaceAll("''", "'") ?? match[2] ?? "", local: match[3] ?? "" };
}

const CELLS = /^([A-Z]{1,3})(\d+)(?::([A-Z]{1,3})(\d+))?$/i;
const COLUMNS = /^([A-Z]{1,3}):([A-Z]{1,3})$/i;
const ROWS = /^(\d+):(\d+)$/;

/** Reads an address without a sheet name; null where it is none (it may be a name). */
export function parseZone(local: string): Zone | null {
  const plain = local.replaceAll("$", "");
  const cells = CELLS.exec(plain);
  if (cells) {
    const [, left = "", top = "", right = left, bottom = top] = cells;
    return ordered(columnNumber(left), Number(top) - 1, columnNumber(right), Number(bottom) - 1);
  }
  const columns = COLUMNS.exec(plain);
  if (columns) {
    return ordered(columnNumber(columns[1] ?? ""), 0, columnNumber(columns[2] ?? ""), MAX_ROWS - 1);
  }
  const rows = ROWS.exec(plain);
  return rows ? ordered(0, Number(rows[1]) - 1, MAX_COLUMNS - 1, Number(rows[2]) - 1) : null;
}

function ordered(column: number, row: number, otherColumn: number, otherRow: number): Zone {
  return checkedZone({
    left: Math.min(column, otherColumn),
    right: Math.max(column, otherColumn),
    top: Math.min(row, otherRow),
    bottom: Math.max(row, otherRow),
  });
}

/** Refuses a zone that leaves the worksheet or has no cell. */
export function checkedZone(zone: Zone): Zone {
  const whole = Object.values(zone).every(Number.isInteger);
  const inside = zone.left >= 0 && zone.top >= 0 && zone.right < MAX_COLUMNS && zone.bottom < MAX_ROWS;
  if (!whole || !inside || zone.left > zone.right || zone.top > zone.bottom) {
    throw invalidArgument("the range would leave the worksheet");
  }
  return zone;
}

/** What every drawing is: a picture, and the same figures as a table for those who do not see it. */
import type { Ink, Picture } from "./svg";

export interface FigureTable {
  readonly caption: string;
  readonly heads: readonly string[];
  /** The first cell of a row says what the row is about. */
  readonly rows: readonly (readonly string[])[];
}

export interface Drawing extends Picture {
  readonly table: FigureTable;
}

/** Nothing to draw yet, and what to do about it. */
export interface NotYet {
  readonly missing: string;
}

/** Where a drawing goes: how wide it may be and in what colours. */
export interface Canvas {
  readonly width: number;
  readonly ink: Ink;
  /** Sets the ids inside the drawing apart from others on the page. */
  readonly id: string;
}

export const isDrawing = (drawn: Drawing | NotYet): drawn is Drawing => "svg" in drawn;

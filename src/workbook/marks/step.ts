/** The parts of a work as its mark tells of them. */
import type { Parameter } from "../../engine/parameters";
import type { Block, Content, Place } from "../host";

/** A cell that takes what a parameter of a function takes. */
export interface WantedLimit extends Place {
  readonly parameter: Parameter;
}

/** A cell as it was and as it is to be. */
export interface CellStep {
  readonly row: number;
  readonly column: number;
  readonly was: Content;
  readonly to: Content;
  /** The format that it is given back, where it was one in which a formula is dead. */
  readonly format?: string;
  /** What it showed where it held nothing and another cell's formula filled it. */
  readonly shows?: unknown;
  /** Cells that belong together, the first of them first. */
  readonly group?: string;
}

/** A part of a work, with what takes it back. Sheets are told by their ids, which no new name changes. */
export type Step =
  | {
      readonly kind: "cells";
      readonly sheet: string;
      readonly cells: readonly CellStep[];
      /** They are given names just before they are written: what has none was not written. */
      readonly isNamed?: boolean;
    }
  /** Cells formatted as text that are given formulas, for which they lose that format for a moment. */
  | { readonly kind: "text cells"; readonly sheet: string; readonly cells: readonly CellStep[] }
  | {
      /** Cells by which what is written at an address belongs there, with what they hold told as a number. */
      readonly kind: "guard";
      readonly sheet: string;
      readonly block: Block;
      readonly sum: number;
      readonly address: string;
      /** What is written has names by which it is found wherever these have moved. */
      readonly isNamed?: boolean;
    }
  | {
      readonly kind: "sheets";
      /** The sheets that were there before. */
      readonly known: readonly string[];
      /** What the names of new ones begin with until it is known which they are. */
      readonly passing: string;
      /** The sheets that are copied. */
      readonly copied: readonly string[];
      readonly added?: readonly string[];
    }
  | {
      /** Formulas that carry their originals: where those stood before is left alone. */
      readonly kind: "carriers";
      readonly sheets: readonly string[];
      readonly earlier: readonly (readonly [sheet: string, row: number, column: number])[];
    }
  | {
      /** Rules of conditional formats and limits, found again by what they say. */
      readonly kind: "rules";
      readonly sheets: readonly string[];
      readonly rules: readonly {
        readonly rule: string;
        readonly was: readonly string[];
        readonly to: readonly string[];
      }[];
    }
  | {
      readonly kind: "rows";
      readonly sheet: string;
      readonly at: number;
      readonly count: number;
      /** What the first cell of the row held that the new ones come before. */
      readonly witness: string | number | boolean;
    }
  | {
      readonly kind: "names";
      readonly names: readonly {
        readonly sheet: string;
        readonly name: string;
        readonly formula: string;
        readonly after: string;
      }[];
    }
  | { readonly kind: "limits" | "limits off"; readonly limits: readonly WantedLimit[] }
  | {
      readonly kind: "notes";
      readonly cells: readonly { readonly sheet: string; readonly address: string }[];
    }
  | {
      readonly kind: "notes off";
      readonly notes: readonly {
        readonly sheet: string;
        readonly address: string;
        readonly content: string;
      }[];
    }
  | {
      readonly kind: "picture";
      readonly sheet: string;
      /** What the new picture is called until the old ones are gone. */
      readonly passing: string;
      readonly name: string;
      readonly before: readonly string[];
      /** Every picture that was on the sheet before. */
      readonly known: readonly string[];
      /** The new one, once the host has said its id. */
      readonly added?: string;
      readonly printed: string | undefined;
    }
  | { readonly kind: "hidden sheet"; readonly sheet: string }
  /** From here on the work can only be finished. */
  | { readonly kind: "no way back" };

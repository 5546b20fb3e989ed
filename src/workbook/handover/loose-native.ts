/**
 * The native form of a formula that is no cell's: no cell of its own could show a value, and no limit can watch its
 * inputs, so the guards are written out. Where a hand-over can come back it carries its original as cells do.
 */
import { attempt } from "../attempt";
import type { Surroundings } from "../calls";
import { rewriteNatively } from "../calls";
import { NotFollowed } from "../evaluate";
import { beyondLimits } from "../formula-limits";
import { carried } from "./carrier";
import { whyNoForm } from "./plan";
import { longest, tooMuch } from "./too-much";

const guarded: Surroundings = {
  isComputed: () => true,
  valueOf: ({ name }) => {
    throw new NotFollowed(`${name} has no native form, and this formula has no cell to show its value`);
  },
  spillOf: ({ name }) => {
    throw new NotFollowed(`${name} fills several cells`);
  },
};

export type LooseOutcome =
  | {
      readonly written: string;
      /** Why it says no more what it was, though it should. */
      readonly bare?: string;
    }
  | { readonly why: string };

const noRoom = {
  validation: "It cannot be brought back: the rule of a limit has no room for its original.",
  carrier: "It cannot be brought back: with its original beside it, it would be longer than Excel takes.",
} as const;

interface Room {
  readonly most: number;
  /** Whether there is room for the original, where it is wanted. */
  readonly carries: boolean;
}

export const rooms = {
  cell: { most: longest.cell, carries: true },
  validation: { most: longest.validation, carries: false },
} as const satisfies Readonly<Record<string, Room>>;

export function looseNative(formula: string, { most, carries }: Room, comesBack: boolean): LooseOutcome {
  const why = tooMuch(formula);
  if (why !== undefined) return { why };
  const rewritten = attempt(() => rewriteNatively(formula, guarded));
  if ("why" in rewritten) return { why: whyNoForm(formula) ?? rewritten.why };
  const native = rewritten.text;
  if (native.length > most) return { why: "Its native form is longer than Excel takes there." };
  if (!comesBack) return { written: native };
  if (!carries) return { written: native, bare: noRoom.validation };
  const carrier = carried(formula, native, () => true);
  return beyondLimits(carrier) === undefined
    ? { written: carrier }
    : { written: native, bare: noRoom.carrier };
}

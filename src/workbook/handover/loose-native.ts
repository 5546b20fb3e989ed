/**
 * The native form of a formula that is no cell's: no cell of its own could show a value, and no limit can watch its
 * inputs, so the guards are written out. Where a hand-over can come back it carries its original as cells do.
 */
import type { Surroundings } from "../formulas";
import {
  attempt,
  beyondLimits,
  holdsCalls,
  longest,
  NotFollowed,
  placed,
  rewriteNatively,
  tooMuch,
} from "../formulas";
import { carried } from "./carrier";
import type { CellNote } from "../host";
import { whyNoForm } from "./plan";
import { whyForGood, whyLooseOutward } from "./outward";

const guarded: Surroundings = {
  isComputed: () => true,
  valueOf: ({ name }) => {
    throw new NotFollowed(`${name} has no native form, and this formula has no cell to show its value`);
  },
  spillOf: ({ name }) => {
    throw new NotFollowed(`${name} fills several cells`);
  },
};

/** What a hand-over does to formulas that are no cell's, of one kind. */
export interface HandedLoose<Change> {
  readonly handed: readonly Change[];
  /** Left as they were, for they have no native form. */
  readonly left: readonly CellNote[];
  /** Native from now on, and not to be brought back. */
  readonly bare: readonly CellNote[];
}

export type LooseOutcome =
  | {
      readonly written: string;
      /** Why it says no more what it was, though it should. */
      readonly bare?: string;
    }
  | { readonly why: string };

const noRoom = "It cannot be brought back: with its original beside it, it would be longer than Excel takes.";

const noLists =
  "Its native form holds a list of figures, which no rule takes: put the formula into a cell, and let the rule look at that cell.";

interface Room {
  readonly most: number;
  /** Whether a formula may hold lists of figures in braces. */
  readonly lists: boolean;
}

/** What the formula of a name or a table's column, of a conditional format and of a limit has room for. */
export const rooms = {
  cell: { most: longest.cell, lists: true },
  format: { most: longest.cell, lists: false },
  validation: { most: longest.validation, lists: false },
} as const satisfies Readonly<Record<string, Room>>;

const holdsList = (formula: string): boolean => placed(formula).some(({ value }) => value === "{");

export function looseNative(formula: string, { most, lists }: Room, comesBack: boolean): LooseOutcome {
  const why = tooMuch(formula);
  if (why !== undefined) return { why };
  const rewritten = attempt(() => rewriteNatively(formula, guarded));
  if ("why" in rewritten) {
    const told = attempt(() => ({ known: whyNoForm(formula) }));
    return { why: ("known" in told ? told.known : undefined) ?? rewritten.why };
  }
  const native = rewritten.text;
  if (native.length > most) return { why: "Its native form is longer than Excel takes there." };
  if (!lists && holdsList(native)) return { why: noLists };
  if (!comesBack) return { written: native };
  const carrier = carried(formula, native, () => true);
  if (carrier.length > most || beyondLimits(carrier) !== undefined) return { written: native, bare: noRoom };
  const forGood = whyForGood(formula);
  return forGood === undefined ? { written: carrier } : { written: carrier, bare: forGood };
}

/** The same of any formula: undefined for one that a hand-over has nothing to do with. */
export function looseHanded(
  formula: string,
  room: Room,
  comesBack: boolean,
): Exclude<LooseOutcome, { why: string }> | { readonly left: string } | undefined {
  if (!holdsCalls(formula)) {
    const left = whyLooseOutward(formula);
    return left === undefined ? undefined : { left };
  }
  const outcome = looseNative(formula, room, comesBack);
  return "why" in outcome ? { left: `Left as it was: ${outcome.why}` } : outcome;
}

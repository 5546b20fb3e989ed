import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenArgument, SeenCall, SeenCell } from "../seen";
import { numberGiven, numberIn, textIn } from "../seen";
import { slack, told } from "../told";

const todo = "Leave an application out, lower a rate, or put a later one into another season.";

interface Application {
  readonly name: string;
  readonly amount: number;
}

const listed = (applications: readonly Application[]): string =>
  applications.map(({ name, amount }) => `${name} ${told(amount)}`).join(", ");

function* overspent(
  at: SeenCell,
  limit: number,
  applications: readonly Application[],
  reading: Reading,
): Finds {
  const given = applications.filter(({ amount }) => amount > 0);
  const sum = given.reduce((total, { amount }) => total + amount, 0);
  if (limit <= 0 || sum <= limit + slack) return;
  const unit = reading.unitOf(at);
  yield {
    at,
    sentence: `Over the same ground these come to ${told(sum)}${unit}, and the season limit is ${told(limit)}${unit}: ${listed(given)}.`,
    todo,
  };
}

/** The amount that is the difference, where one argument can be worked out by the spreadsheet alone. */
function amounts(limit: number, applied: readonly SeenArgument[], room: number | undefined) {
  const values = applied.map((one) =>
    Array.isArray(one.value)
      ? (one.value as unknown[][])
          .flat()
          .reduce<number>((sum, cell) => sum + (typeof cell === "number" ? cell : 0), 0)
      : one.value === undefined
        ? undefined
        : (numberGiven(one) ?? 0),
  );
  const known = values.reduce<number>((sum, value) => sum + (value ?? 0), 0);
  const open = values.filter((value) => value === undefined).length;
  if (open > 1 || (open === 1 && room === undefined)) return undefined;
  return values.map((value) => value ?? limit - (room ?? 0) - known);
}

function nameOf(argument: SeenArgument, cell: SeenCell, reading: Reading): string {
  const from = argument.cell ?? reading.cellsOf(cell, argument).at(-1);
  const label = from === undefined ? "" : reading.labelOf(from);
  return label === "" ? (from === undefined ? "typed in" : from.address) : label;
}

function* inCall({ cell, given: [limit, ...applied] }: SeenCall, reading: Reading): Finds {
  const most = limit === undefined ? undefined : numberGiven(limit);
  if (most === undefined) return;
  const found = amounts(most, applied, numberIn(cell));
  if (found === undefined) return;
  const applications = applied.map((one, i) => ({ name: nameOf(one, cell, reading), amount: found[i] ?? 0 }));
  yield* overspent(cell, most, applications, reading);
}

/** Actives that are named and differ have limits of their own. */
function* givenBeside(limit: SeenCell, reading: Reading): Generator<Application> {
  const of = new Set<string>();
  for (const id of ["GRANULE_ACTIVE_RATE", "ACTIVE_RATE"]) {
    for (const { cell } of reading.callsOf(id, limit, true)) {
      const inOtherRow = reading.rowAround(limit) !== undefined && cell.row !== limit.row;
      const active = textIn(reading.near("active", cell)?.cell);
      if (inOtherRow || (of.size > 0 && !of.has(active))) continue;
      of.add(active);
      const label = reading.labelOf(cell);
      yield { name: label === "" ? cell.address : label, amount: numberIn(cell) ?? 0 };
    }
  }
  const applied = reading.near("applied", limit);
  if (applied !== undefined) yield { name: applied.label, amount: numberIn(applied.cell) ?? 0 };
}

/** A limit beside which nobody counts: the applications on its sheet, or in its row, are counted here. */
function* atLimit(limit: SeenCell, reading: Reading): Finds {
  if (reading.isOfBid(limit.sheet)) return;
  for (const { given } of reading.callsOf("SEASON_ROOM", limit)) if (given.length > 1) return;
  yield* overspent(limit, numberIn(limit) ?? 0, [...givenBeside(limit, reading)], reading);
}

export const seasonLimit: Check = {
  id: "season limit overspent",
  title: "The season limit is overspent",
  weight: "rule",
  source: "The season limit that you copied from your label; granule and spray of one active count together.",
  calls: { of: ["SEASON_ROOM"], look: inCall },
  figures: { about: ["seasonLimit"], look: atLimit },
  rows: {
    having: ["seasonLimit"],
    *look(row, reading) {
      const limit = reading.inRow(row, "seasonLimit");
      if (limit !== undefined) yield* atLimit(limit.cell, reading);
    },
  },
};

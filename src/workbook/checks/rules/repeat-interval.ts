import type { Check, Finds } from "../check";
import type { Reading } from "../reading";
import type { SeenCell, SeenRow } from "../seen";
import { numberIn, textIn } from "../seen";
import { told } from "../told";
import { dateTold, isDay } from "../../host";

const todo = "Wait until the interval on the label has passed.";

function* tooSoon(at: SeenCell, before: number, day: number, least: number): Finds {
  if (least <= 0 || day < before || day - before >= least) return;
  yield {
    at,
    sentence: `Applied on ${dateTold(before)} and again on ${dateTold(day)}: ${told(day - before)} days, and the interval is ${told(least)}.`,
    todo,
  };
}

/** A longer list is searched from the row backwards only so far. */
const longestLog = 200;

function* inRow(row: SeenRow, reading: Reading): Finds {
  const seen = (one: SeenRow) => ({
    day: numberIn(reading.inRow(one, "appliedOn")?.cell),
    product: textIn(reading.inRow(one, "product")?.cell).toLowerCase(),
    zone: textIn(reading.inRow(one, "zone")?.cell).toLowerCase(),
  });
  const at = reading.inRow(row, "appliedOn")?.cell;
  const { day, product, zone } = seen(row);
  if (at === undefined || !isDay(day) || product === "") return;
  const told =
    reading.inRow(row, "repeatDays") ??
    reading.ofProduct("repeatDays", product, at) ??
    reading.near("repeatDays", at);
  const least = numberIn(told?.cell) ?? 0;
  if (least <= 0) return;
  const { first, last } = row.table;
  const before: number[] = [];
  for (
    let other = Math.max(first, row.row - longestLog);
    other <= Math.min(last, row.row + longestLog);
    other++
  ) {
    if (other === row.row) continue;
    const one = seen({ ...row, row: other });
    const isEarlier = isDay(one.day) && (one.day < day || (one.day === day && other < row.row));
    if (isEarlier && one.product === product && one.zone === zone) before.push(one.day ?? 0);
  }
  if (before.length > 0) yield* tooSoon(at, Math.max(...before), day, least);
}

function* sinceLast(last: SeenCell, reading: Reading): Finds {
  const before = numberIn(last);
  const day = numberIn(reading.find("seedingDay", last)?.cell);
  const least = numberIn(reading.ofLabel("repeatDays", last)?.cell) ?? 0;
  if (isDay(before) && isDay(day)) yield* tooSoon(last, before, day, least);
}

export const repeatInterval: Check = {
  id: "repeat before the interval",
  title: "It is applied again before the interval has passed",
  weight: "rule",
  source: "The days before a repeat that you copied from your label.",
  rows: { having: ["appliedOn", "product"], look: inRow },
  figures: { about: ["lastApplied"], look: sinceLast },
};

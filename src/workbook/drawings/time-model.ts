/** The order of work in hours of the day, and in days after it. */
import type { DayStepId } from "../bid";
import { counted, listed } from "./figures";
import type { TimeFigures } from "./read-bid";

/** Something that is done, after a wait where there is one: in hours of the day or in days after seeding. */
export interface TimeEntry {
  /** The step of the day that it is, where it is one. */
  readonly id?: DayStepId;
  readonly name: string;
  /** Steps that are done within the same hours. */
  readonly within: readonly string[];
  readonly wait: { readonly from: number; readonly to: number } | undefined;
  readonly start: number;
  readonly end: number;
}

export interface TimeModel {
  /** In hours from the start of work. */
  readonly day: readonly TimeEntry[];
  /** In days after seeding. */
  readonly later: readonly TimeEntry[];
  readonly notes: readonly string[];
}

export const shownName = ({ name, within }: TimeEntry): string =>
  within.length === 0 ? name : `${name} and ${counted(within.length, "step")} more`;

export const fullName = ({ name, within }: TimeEntry): string =>
  within.length === 0 ? name : `${name}, then ${listed(within.map((one) => one.replace(",", ":")))}`;

/** Steps follow each other; those without hours of their own are done within the hours of the one before. */
function dayEntries({ steps }: TimeFigures): readonly TimeEntry[] {
  const timed: { id: DayStepId; name: string; hours: number; within: string[] }[] = [];
  for (const { id, name, hours } of steps) {
    if (hours === undefined) timed[timed.length - 1]?.within.push(name);
    else if (hours > 0) timed.push({ id, name, hours, within: [] });
  }
  let at = 0;
  return timed.map(({ id, name, hours, within }) => {
    const start = at;
    at += hours;
    return { id, name, within, wait: undefined, start, end: at };
  });
}

/** A wait in hours that the applicator wrote on the record, such as "12 h"; other words are told as they are. */
const hoursIn = (text: string): number | undefined => {
  const hours = /^(\d+(?:\.\d+)?)\s*(?:h|hr|hrs|hours?)\b/i.exec(text)?.[1];
  return hours === undefined ? undefined : Number(hours);
};

const isSpray = ({ id }: TimeEntry): boolean => id === "preEmergent";

function keepOff(day: readonly TimeEntry[], reEntry: string): readonly TimeEntry[] {
  const spray = day.find(isSpray);
  const hours = hoursIn(reEntry);
  if (spray === undefined || hours === undefined) return [];
  const to = spray.end + hours;
  return [
    { name: "Re-entry after the spray", within: [], wait: { from: spray.end, to }, start: to, end: to },
  ];
}

/** Each day after the wait that leads to it: growth follows growth, feeding and label intervals count from seeding. */
function laterEntries({ later, sprayRepeat, conditionerRepeat }: TimeFigures): readonly TimeEntry[] {
  const isKnown = later.some(({ id, day }) => id === "lastSeedlings" && day > 0);
  const growth = later
    .filter(({ id, day }) => isKnown && id !== "feeding" && day > 0)
    .sort((a, b) => a.day - b.day)
    .map(({ name, day }, i, all) => ({ name, from: all[i - 1]?.day ?? 0, day }));
  const fromSeeding = [
    ...later.filter(({ id }) => id === "feeding").map(({ name, day }) => ({ name, day })),
    { name: "Spray again at the earliest", day: sprayRepeat },
    { name: "Soil conditioner again", day: conditionerRepeat },
  ]
    .filter(({ day }) => day > 0)
    .map(({ name, day }) => ({ name, from: 0, day }));
  return [...growth, ...fromSeeding]
    .sort((a, b) => a.day - b.day)
    .map(({ name, from, day }) => ({ name, within: [], wait: { from, to: day }, start: day, end: day }));
}

export function timeModel(time: TimeFigures): TimeModel {
  const work = dayEntries(time);
  const later = laterEntries(time);
  const isSprayed = work.some(isSpray);
  return {
    day: [...work, ...keepOff(work, time.reEntry)],
    later: work.length === 0 ? [] : later,
    notes: [
      ...(isSprayed && time.reEntry !== "" && hoursIn(time.reEntry) === undefined
        ? [`Re-entry after the spray: ${time.reEntry}.`]
        : []),
      ...(isSprayed ? ["Waits after a pesticide are those of its label."] : []),
      ...(time.later.some(({ id, day }) => id === "lastSeedlings" && day > 0)
        ? []
        : ["Days of seedlings and mowing: choose the grass of each zone on Site."]),
      ...(time.seedingDay > 0 ? [] : ["Dates: enter the seeding day on Order."]),
    ],
  };
}

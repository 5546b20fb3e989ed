/** The order of work as a line of time: the hours of the day, then the waits and days that follow from it. */
import { scaleLinear } from "d3-scale";
import type { DayStepId } from "../bid";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { counted, dayText, listed, oneDecimal, short } from "./figures";
import type { BidFigures, TimeFigures } from "./read-bid";
import { isMissing } from "./read-bid";
import type { Ink, Point } from "./svg";
import {
  element,
  fitted,
  hatch,
  label,
  linesPath,
  picture,
  ringsPath,
  smallText,
  textWidth,
  wrapped,
} from "./svg";

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

const shownName = ({ name, within }: TimeEntry): string =>
  within.length === 0 ? name : `${name} and ${counted(within.length, "step")} more`;

const fullName = ({ name, within }: TimeEntry): string =>
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

const barHeight = 12;

function bar([x, y]: Point, width: number, ink: Ink): string {
  return element("rect", {
    x,
    y,
    width: Math.max(1.5, width),
    height: barHeight,
    fill: ink.strongFill,
    stroke: ink.line,
  });
}

/** A wait is hatched and open, so that it is not taken for work. */
function waiting([x, y]: Point, width: number, ink: Ink): readonly string[] {
  return [
    element("rect", {
      x,
      y: y + 2,
      width,
      height: barHeight - 4,
      fill: ink.paper,
      stroke: ink.line,
      "stroke-width": 0.7,
    }),
    element("path", {
      d: linesPath(hatch([x, y + 2], [width, barHeight - 4], 6)),
      fill: "none",
      stroke: ink.line,
      "stroke-width": 0.6,
    }),
  ];
}

function diamond([x, y]: Point, ink: Ink): string {
  const r = barHeight / 2;
  return element("path", {
    d: ringsPath([
      [
        [x, y],
        [x + r, y + r],
        [x, y + 2 * r],
        [x - r, y + r],
      ],
    ]),
    fill: ink.line,
  });
}

interface Section {
  readonly heading: string;
  readonly entries: readonly TimeEntry[];
  readonly told: (entry: TimeEntry) => string;
  readonly ticks: (scale: (value: number) => number, end: number) => readonly number[];
  readonly tickText: (tick: number) => string;
}

function drawSection(
  section: Section,
  top: number,
  width: number,
  ink: Ink,
): { readonly body: readonly string[]; readonly bottom: number } {
  const { entries, told } = section;
  const toldRoom = Math.max(...entries.map((entry) => textWidth(told(entry))));
  const nameRoom = Math.max(...entries.map((entry) => textWidth(shownName(entry)))) + 10;
  const isWide = width - nameRoom - toldRoom > 260;
  // The last diamond and the last date stand a little beyond the end.
  const [left, right] = [isWide ? nameRoom + 8 : 10, isWide ? width - toldRoom - 34 : width - 22];
  const end = Math.max(...entries.map((entry) => entry.end));
  const scale = scaleLinear([0, end], [left, right]);
  const row = isWide ? 22 : 37;
  let y = top + 14;
  const body = [label(section.heading, [4, y], ink, { bold: true })];
  y += 10;
  const rows: number[] = [];
  for (const entry of entries) {
    const text = isWide ? y + 10 : y + 12;
    const at = isWide ? y : y + 17;
    rows.push(at);
    body.push(
      label(
        fitted(shownName(entry), isWide ? nameRoom : width - 18 - textWidth(told(entry))),
        [4, text],
        ink,
      ),
      label(told(entry), [width - 6, text], ink, { anchor: "end" }),
    );
    if (entry.wait !== undefined) {
      const [from, to] = [scale(entry.wait.from), scale(entry.wait.to)];
      body.push(...waiting([from, at], to - from, ink), diamond([scale(entry.start), at], ink));
    } else body.push(bar([scale(entry.start), at], scale(entry.end) - scale(entry.start), ink));
    y += row;
  }
  const ticks = section.ticks(scale, end);
  const axis = y + 2;
  body.unshift(
    element("path", {
      // Beside the bars alone: names and dates stand between them where the drawing is narrow.
      d: linesPath(
        ticks.flatMap((tick) =>
          rows.map(
            (at) =>
              [
                [scale(tick), at - 1],
                [scale(tick), at + barHeight + 1],
              ] as const,
          ),
        ),
      ),
      fill: "none",
      stroke: ink.line,
      "stroke-width": 0.5,
      "stroke-opacity": 0.3,
    }),
  );
  body.push(
    element("path", {
      d: linesPath([
        [
          [left, axis],
          [right, axis],
        ],
        ...ticks.map(
          (tick) =>
            [
              [scale(tick), axis],
              [scale(tick), axis + 4],
            ] as const,
        ),
      ]),
      fill: "none",
      stroke: ink.line,
    }),
    ...ticks.map((tick, i) =>
      label(section.tickText(tick), [i === 0 ? scale(tick) - 4 : scale(tick), axis + 16], ink, {
        size: smallText,
        anchor: i === 0 ? "start" : "middle",
      }),
    ),
  );
  return { body, bottom: axis + 20 };
}

/** Weeks, or as many of them as leave room for a date. */
const weeks = (scale: (value: number) => number, end: number): readonly number[] => {
  const room = 48;
  const every = 7 * Math.max(1, Math.ceil(room / (scale(7) - scale(0))));
  return Array.from({ length: Math.floor(end / every) + 1 }, (_, i) => i * every);
};

const hours = (scale: (value: number) => number, end: number): readonly number[] =>
  scaleLinear([0, end], [0, 1]).ticks(Math.max(2, Math.floor((scale(end) - scale(0)) / 45)));

export function drawTimeline(bid: BidFigures, { width, ink, id }: Canvas): Drawing | NotYet {
  const { time, system } = bid;
  if (isMissing(time)) return time;
  const { day, later, notes } = timeModel(time);
  if (day.length === 0) {
    return {
      missing:
        "The work has no hours yet: measure a zone on Site and enter paces and hours on Order, then the day is drawn here.",
    };
  }
  const dateOf = (after: number) =>
    time.seedingDay > 0 ? dayText(time.seedingDay + after, system) : `day ${after}`;
  const work = day.filter(({ wait }) => wait === undefined);
  const whole = work[work.length - 1]?.end ?? 0;
  const onDay = time.seedingDay > 0 ? `, ${dayText(time.seedingDay, system)}` : "";
  const sections: readonly Section[] = [
    {
      heading: `The day${onDay}: ${oneDecimal(whole)} h, crew of ${short(time.crew)}`,
      entries: day,
      told: ({ wait, start, end }) =>
        wait === undefined ? `${oneDecimal(end - start)} h` : `${short(wait.to - wait.from)} h later`,
      ticks: hours,
      tickText: (tick) => `${short(tick)} h`,
    },
    {
      heading: "Afterwards",
      entries: later,
      told: ({ start }) => (time.seedingDay > 0 ? `${dateOf(start)}, day ${start}` : dateOf(start)),
      ticks: weeks,
      tickText: dateOf,
    },
  ];
  const body: string[] = [];
  let y = 0;
  for (const section of sections) {
    if (section.entries.length === 0) continue;
    const { body: drawn, bottom } = drawSection(section, y, width, ink);
    body.push(...drawn);
    y = bottom + 10;
  }
  body.push(bar([4.5, y], 22, ink), label("work", [32, y + 10], ink, { size: smallText }));
  body.push(
    ...waiting([84, y], 22, ink),
    diamond([106, y], ink),
    label("wait, then the day", [118, y + 10], ink, { size: smallText }),
  );
  y += barHeight + 2;
  for (const note of notes) {
    for (const text of wrapped(note, width - 8, smallText))
      body.push(label(text, [4, (y += 15)], ink, { size: smallText }));
  }
  const height = y + 8;
  const title = "Order of work";
  const description = [
    `${sections[0]?.heading ?? ""}: ${listed(day.map((entry) => `${fullName(entry)} (${sections[0]?.told(entry) ?? ""})`))}.`,
    ...(later.length === 0
      ? []
      : [`Afterwards: ${listed(later.map(({ name, start }) => `${name} (${dateOf(start)})`))}.`]),
    ...notes,
  ].join(" ");
  return {
    ...picture({ id, title, description, width, height, ink }, body),
    table: {
      caption: "Steps and waits in order",
      heads: ["Step", "Begins", "Takes or waits"],
      rows: [
        ...day.map((entry) => [
          fullName(entry),
          `${oneDecimal(entry.wait?.from ?? entry.start)} h`,
          entry.wait === undefined
            ? `${oneDecimal(entry.end - entry.start)} h`
            : `waits ${short(entry.wait.to - entry.wait.from)} h`,
        ]),
        ...later.map(({ name, wait, start }) => [
          name,
          dateOf(start),
          `waits ${counted((wait?.to ?? start) - (wait?.from ?? start), "day")}`,
        ]),
      ],
    },
  };
}

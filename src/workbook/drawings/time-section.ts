/** One stretch of time with its bars and waits, over an axis of hours or of weeks. */
import { scaleLinear } from "d3-scale";
import type { Ink, Point } from "./svg";
import { element, fitted, hatch, label, linesPath, ringsPath, smallText, textWidth } from "./svg";
import type { TimeEntry } from "./time-model";
import { shownName } from "./time-model";

export const barHeight = 12;

export function bar([x, y]: Point, width: number, ink: Ink): string {
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
export function waiting([x, y]: Point, width: number, ink: Ink): readonly string[] {
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

export function diamond([x, y]: Point, ink: Ink): string {
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

/** Where on the drawing a time stands. */
type Scale = (time: number) => number;

export interface Section {
  readonly heading: string;
  readonly entries: readonly TimeEntry[];
  readonly told: (entry: TimeEntry) => string;
  readonly ticks: (scale: Scale, end: number) => readonly number[];
  readonly tickText: (tick: number) => string;
}

/** Where names, bars and what is told of them stand. */
interface Places {
  readonly isWide: boolean;
  readonly nameRoom: number;
  readonly left: number;
  readonly right: number;
  readonly width: number;
  readonly scale: Scale;
  readonly end: number;
}

function placesFor({ entries, told }: Section, width: number): Places {
  const toldRoom = Math.max(...entries.map((entry) => textWidth(told(entry))));
  const nameRoom = Math.max(...entries.map((entry) => textWidth(shownName(entry)))) + 10;
  const isWide = width - nameRoom - toldRoom > 260;
  // The last diamond and the last date stand a little beyond the end.
  const [left, right] = [isWide ? nameRoom + 8 : 10, isWide ? width - toldRoom - 34 : width - 22];
  const end = Math.max(...entries.map((entry) => entry.end));
  return { isWide, nameRoom, left, right, width, scale: scaleLinear([0, end], [left, right]), end };
}

/** Where the bar of a row stands: beside its name, or below it where there is no room. */
const barAt = (y: number, { isWide }: Places): number => (isWide ? y : y + 17);

function drawEntry(entry: TimeEntry, told: string, y: number, places: Places, ink: Ink): readonly string[] {
  const { isWide, nameRoom, width, scale } = places;
  const text = isWide ? y + 10 : y + 12;
  const at = barAt(y, places);
  const { wait, start, end } = entry;
  return [
    label(fitted(shownName(entry), isWide ? nameRoom : width - 18 - textWidth(told)), [4, text], ink),
    label(told, [width - 6, text], ink, { anchor: "end" }),
    ...(wait === undefined
      ? [bar([scale(start), at], scale(end) - scale(start), ink)]
      : [
          ...waiting([scale(wait.from), at], scale(wait.to) - scale(wait.from), ink),
          diamond([scale(start), at], ink),
        ]),
  ];
}

/** Lines of the ticks beside the bars alone: names and dates stand between them where the drawing is narrow. */
const tickLines = (ticks: readonly number[], bars: readonly number[], scale: Scale, ink: Ink): string =>
  element("path", {
    d: linesPath(
      ticks.flatMap((tick) =>
        bars.map(
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
  });

function drawAxis(
  { tickText }: Section,
  ticks: readonly number[],
  y: number,
  { left, right, scale }: Places,
  ink: Ink,
): readonly string[] {
  return [
    element("path", {
      d: linesPath([
        [
          [left, y],
          [right, y],
        ],
        ...ticks.map(
          (tick) =>
            [
              [scale(tick), y],
              [scale(tick), y + 4],
            ] as const,
        ),
      ]),
      fill: "none",
      stroke: ink.line,
    }),
    ...ticks.map((tick, i) =>
      label(tickText(tick), [i === 0 ? scale(tick) - 4 : scale(tick), y + 16], ink, {
        size: smallText,
        anchor: i === 0 ? "start" : "middle",
      }),
    ),
  ];
}

export function drawSection(
  section: Section,
  top: number,
  width: number,
  ink: Ink,
): { readonly body: readonly string[]; readonly bottom: number } {
  const { entries, told } = section;
  const places = placesFor(section, width);
  const row = places.isWide ? 22 : 37;
  const first = top + 24;
  const rows = entries.map((_, i) => first + i * row);
  const axis = first + entries.length * row + 2;
  const ticks = section.ticks(places.scale, places.end);
  const bars = rows.map((y) => barAt(y, places));
  const body = [
    tickLines(ticks, bars, places.scale, ink),
    label(section.heading, [4, top + 14], ink, { bold: true }),
    ...entries.flatMap((entry, i) => drawEntry(entry, told(entry), rows[i] ?? first, places, ink)),
    ...drawAxis(section, ticks, axis, places, ink),
  ];
  return { body, bottom: axis + 20 };
}

/** Weeks, or as many of them as leave room for a date. */
export const weeks = (scale: Scale, end: number): readonly number[] => {
  const room = 48;
  const every = 7 * Math.max(1, Math.ceil(room / (scale(7) - scale(0))));
  return Array.from({ length: Math.floor(end / every) + 1 }, (_, i) => i * every);
};

export const hours = (scale: Scale, end: number): readonly number[] =>
  scaleLinear([0, end], [0, 1]).ticks(Math.max(2, Math.floor((scale(end) - scale(0)) / 45)));

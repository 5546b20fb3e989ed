/** The order of work as a line of time: the hours of the day, then the waits and days that follow from it. */
import type { UnitSystem } from "../../engine/units";
import type { Canvas, Drawing, FigureTable, NotYet } from "./drawing";
import { counted, dayText, listed, oneDecimal, short } from "./figures";
import type { TimeFigures, BidFigures } from "./read-bid";
import type { Ink } from "./svg";
import type { TimeModel } from "./time-model";
import { isMissing } from "./read-bid";
import { label, picture, smallText, wrapped } from "./svg";
import { timeModel, fullName } from "./time-model";
import type { Section } from "./time-section";
import { hours, weeks, drawSection, bar, waiting, diamond, barHeight } from "./time-section";

/** What waits and work look like. */
const key = (y: number, ink: Ink): readonly string[] => [
  bar([4.5, y], 22, ink),
  label("work", [32, y + 10], ink, { size: smallText }),
  ...waiting([84, y], 22, ink),
  diamond([106, y], ink),
  label("wait, then the day", [118, y + 10], ink, { size: smallText }),
];

type DateOf = (after: number) => string;

/** The day, and what follows from it. */
function sectionsOf(
  { day, later }: TimeModel,
  { seedingDay, crew }: TimeFigures,
  system: UnitSystem,
  dateOf: DateOf,
): readonly [day: Section, later: Section] {
  const work = day.filter(({ wait }) => wait === undefined);
  const whole = work[work.length - 1]?.end ?? 0;
  const onDay = seedingDay > 0 ? `, ${dayText(seedingDay, system)}` : "";
  return [
    {
      heading: `The day${onDay}: ${oneDecimal(whole)} h, crew of ${short(crew)}`,
      entries: day,
      told: ({ wait, start, end }) =>
        wait === undefined ? `${oneDecimal(end - start)} h` : `${short(wait.to - wait.from)} h later`,
      ticks: hours,
      tickText: (tick) => `${short(tick)} h`,
    },
    {
      heading: "Afterwards",
      entries: later,
      told: ({ start }) => (seedingDay > 0 ? `${dateOf(start)}, day ${start}` : dateOf(start)),
      ticks: weeks,
      tickText: dateOf,
    },
  ];
}

function inWords({ day, later, notes }: TimeModel, { heading, told }: Section, dateOf: DateOf): string {
  return [
    `${heading}: ${listed(day.map((entry) => `${fullName(entry)} (${told(entry)})`))}.`,
    ...(later.length === 0
      ? []
      : [`Afterwards: ${listed(later.map(({ name, start }) => `${name} (${dateOf(start)})`))}.`]),
    ...notes,
  ].join(" ");
}

const tableOf = ({ day, later }: TimeModel, dateOf: DateOf): FigureTable => ({
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
});

export function drawTimeline(bid: BidFigures, { width, ink, id }: Canvas): Drawing | NotYet {
  const { time, system } = bid;
  if (isMissing(time)) return time;
  const model = timeModel(time);
  if (model.day.length === 0) {
    return {
      missing:
        "The work has no hours yet: measure a zone on Site and enter paces and hours on Order, then the day is drawn here.",
    };
  }
  const dateOf = (after: number) =>
    time.seedingDay > 0 ? dayText(time.seedingDay + after, system) : `day ${after}`;
  const sections = sectionsOf(model, time, system, dateOf);
  const body: string[] = [];
  let y = 0;
  for (const section of sections) {
    if (section.entries.length === 0) continue;
    const { body: drawn, bottom } = drawSection(section, y, width, ink);
    body.push(...drawn);
    y = bottom + 10;
  }
  body.push(...key(y, ink));
  y += barHeight + 2;
  for (const note of model.notes) {
    for (const text of wrapped(note, width - 8, smallText))
      body.push(label(text, [4, (y += 15)], ink, { size: smallText }));
  }
  const height = y + 8;
  const description = inWords(model, sections[0], dateOf);
  return {
    ...picture({ id, title: "Order of work", description, width, height, ink }, body),
    table: tableOf(model, dateOf),
  };
}

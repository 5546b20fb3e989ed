import fc from "fast-check";
import { expect, test } from "vitest";
import { isDrawing } from "../../../src/workbook/drawings/drawing";
import type { TimeFigures } from "../../../src/workbook/drawings/read-bid";
import { paperInk } from "../../../src/workbook/drawings/svg";
import { drawTimeline } from "../../../src/workbook/drawings/timeline";
import { timeModel } from "../../../src/workbook/drawings/time-model";
import { bidOf } from "./figures";
import { readSvg, textsOf } from "./reading-svg";

const canvas = { width: 720, ink: paperInk, id: "time" };

const time = (more: Partial<TimeFigures> = {}): TimeFigures => ({
  // 8 September 2026, as a sheet counts days.
  seedingDay: Date.UTC(2026, 8, 8) / 86_400_000 + 25_569,
  crew: 2,
  steps: [
    { id: "prepare", name: "Prepare the ground", hours: 2.5 },
    { id: "edges", name: "Seed the edges", hours: 1 },
    { id: "rake", name: "Rake in and roll", hours: undefined },
    { id: "conditioner", name: "Soil conditioner", hours: 0 },
    { id: "preEmergent", name: "Pre-emergent, per label", hours: 0.75 },
    { id: "blowOff", name: "Blow off", hours: undefined },
  ],
  later: [
    { id: "seeding", name: "Seeding day", day: 0 },
    { id: "firstSeedlings", name: "First seedlings", day: 5 },
    { id: "lastSeedlings", name: "Last seedlings", day: 10 },
    { id: "firstMowing", name: "First mowing", day: 20 },
    { id: "feeding", name: "Next feeding", day: 42 },
  ],
  sprayRepeat: 28,
  conditionerRepeat: 60,
  reEntry: "",
  ...more,
});

const drawn = (figures: TimeFigures, system: "us" | "metric" = "us") => {
  const drawing = drawTimeline(bidOf({ system, time: figures }), canvas);
  if (!isDrawing(drawing)) throw new Error(drawing.missing);
  return drawing;
};

test("steps follow each other, hours of the day add up, a step that is not in the job takes no place", () => {
  const { day } = timeModel(time());
  expect(day.map(({ name, start, end }) => [name, start, end])).toEqual([
    ["Prepare the ground", 0, 2.5],
    ["Seed the edges", 2.5, 3.5],
    ["Pre-emergent, per label", 3.5, 4.25],
  ]);
  expect(day[1]?.within).toEqual(["Rake in and roll"]);
});

test("days carry their dates in the way of the unit system, across a month's end", () => {
  const dates = (system: "us" | "metric") => textsOf(readSvg(drawn(time(), system).svg));
  // 8 September and 28 days is 6 October; and 42 days 20 October; and 60 days 7 November.
  for (const date of ["Oct 6, day 28", "Oct 20, day 42", "Nov 7, day 60"])
    expect(dates("us")).toContain(date);
  expect(dates("metric")).toContain("6 Oct, day 28");
});

const day = fc.integer({ min: 0, max: 90 });
const anyTime = fc
  .record({
    hours: fc.array(
      fc.option(fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 9, noNaN: true })), { nil: undefined }),
      {
        maxLength: 9,
      },
    ),
    days: fc.array(day, { maxLength: 7 }),
    last: day,
    feeding: day,
    sprayRepeat: day,
    conditionerRepeat: day,
    reEntry: fc.constantFrom("", "12 h", "24 hours", "until dry"),
    seedingDay: fc.constantFrom(0, 46_273),
  })
  .map(({ hours, days, last, feeding, ...more }) =>
    time({
      steps: hours.map((one, i) => ({
        id: i === 4 ? "preEmergent" : "prepare",
        name: i === 4 ? "Pre-emergent" : `Step ${i}`,
        hours: one,
      })),
      later: [
        ...days.map((one, i) => ({ id: "mowed" as const, name: `Day ${i}`, day: one })),
        { id: "lastSeedlings", name: "Last seedlings", day: last },
        { id: "feeding", name: "Next feeding", day: feeding },
      ],
      ...more,
    }),
  );

test("nothing begins before the step or the wait before it ends, whatever the sheets hold", () => {
  fc.assert(
    fc.property(anyTime, (figures) => {
      const { day: hours, later } = timeModel(figures);
      const work = hours.filter(({ wait }) => wait === undefined);
      work.forEach((step, i) => {
        expect(step.start).toBeGreaterThanOrEqual(work[i - 1]?.end ?? 0);
        expect(step.end).toBeGreaterThan(step.start);
      });
      for (const { wait, start, end } of [...hours, ...later]) {
        expect(end).toBeGreaterThanOrEqual(start);
        if (wait === undefined) continue;
        expect(wait.to).toBeGreaterThanOrEqual(wait.from);
        expect(start).toBeGreaterThanOrEqual(wait.to);
      }
      const drawing = drawTimeline(bidOf({ time: figures }), canvas);
      if (isDrawing(drawing)) expect(readSvg(drawing.svg).length).toBeGreaterThan(3);
      else expect(work).toEqual([]);
    }),
  );
});

test("re-entry is a wait after the spray where it was written in hours, otherwise told in its own words", () => {
  const { day: hours } = timeModel(time({ reEntry: "12 h" }));
  const spray = hours.find(({ name }) => name.startsWith("Pre-emergent"));
  const wait = hours.find(({ name }) => name.startsWith("Re-entry"))?.wait;
  expect(wait).toEqual({ from: spray?.end, to: (spray?.end ?? 0) + 12 });
  expect(drawn(time({ reEntry: "until dry <dew>" })).description).toContain(
    "Re-entry after the spray: until dry <dew>.",
  );
});

test("without a seeding day the days are counted, without a grass the growth is left out, both said", () => {
  const counted = drawn(time({ seedingDay: 0 }));
  expect(textsOf(readSvg(counted.svg))).toContain("day 28");
  expect(counted.description).toContain("Dates: enter the seeding day on Order.");
  const grassless = drawn(
    time({
      later: [
        { id: "lastSeedlings", name: "Last seedlings", day: 0 },
        { id: "firstMowing", name: "First mowing", day: 10 },
        { id: "feeding", name: "Next feeding", day: 42 },
      ],
    }),
  );
  expect(grassless.description).not.toContain("First mowing");
  expect(grassless.description).toContain("choose the grass of each zone on Site");
});

test("work without hours is a sentence that says what to enter", () => {
  expect(drawTimeline(bidOf(), canvas)).toEqual({
    missing: expect.stringMatching(/^The work has no hours yet: .+\.$/) as string,
  });
});

import { formula } from "../formula";
import { amount, size } from "../parameters";

export const workHours = formula({
  id: "WORK_HOURS",
  step: "crew",
  sentence: "Clock hours that a crew takes for an area, in hours.",
  equation: "area ÷ (pace × crew)",
  result: { name: "clock hours", kind: "hours" },
  parameters: [
    amount("area", "any", "area to work, in ft² or m²"),
    size("pace", "any", "area that one person does in an hour, in the unit of the area"),
    {
      takes: "number",
      id: "crew",
      kind: "count",
      about: "number of people at work",
      blank: "default",
      default: 1,
      above: 0,
    },
  ],
  sources: [
    {
      title: "Field capacity, ASABE EP496",
      publisher: "ASABE",
      note: "area over what is worked in an hour; from memory",
    },
  ],
  example: {
    given: [8000, 2000, 2],
    gives: 2,
    story: "8,000 ft² at 2,000 ft² per person-hour by two people",
  },
  body: (m, _unit, area, pace, crew) => m.div(m.step("person-hours", "hours", m.div(area, pace)), crew),
});

import { formula } from "../formula";
import type { NumberParameter } from "../parameters";
import { celsius, statedInMetric } from "../units";

const temperature = <const I extends string>(id: I, about: string) =>
  ({
    takes: "number",
    id,
    kind: "temperature",
    about,
    blank: "zero",
    least: -130,
    most: 140,
  }) as const satisfies NumberParameter;

/** Solar constant in MJ per m2 and minute; equation 21. */
const solarConstant = 0.082;
/** Equation 20: what 1 MJ per m2 evaporates, in mm. */
const evaporated = 0.408;

/**
 * The mean temperature is half of max + min. Best over five days or more; above the polar circles only while the sun
 * rises. Below a mean of -17.8 C it is 0.
 */
export const referenceEt = formula({
  id: "REFERENCE_ET",
  step: "water",
  sentence: "Reference evapotranspiration of a day by Hargreaves (FAO-56), in inches (metric: mm).",
  equation: "0.0023 × (mean temperature + 17.8) × √(max − min) × extraterrestrial radiation in mm",
  result: { name: "reference evapotranspiration", kind: "rainDepth" },
  parameters: [
    temperature("t_min", "lowest temperature of the day"),
    temperature("t_max", "highest temperature of the day"),
    {
      takes: "number",
      id: "latitude",
      kind: "any",
      about: "latitude in degrees, south negative",
      blank: "zero",
      least: -90,
      most: 90,
    },
    {
      takes: "number",
      id: "day_of_year",
      kind: "count",
      about: "day of the year, 1 on 1 January",
      blank: "refused",
      least: 1,
      most: 366,
      whole: true,
    },
  ],
  conversions: { freezing: celsius.freezing, degree: celsius.step, depth: statedInMetric("rainDepth") },
  sources: [
    {
      title: "Crop evapotranspiration, Irrigation and Drainage Paper 56, equations 20 to 25 and 52",
      publisher: "FAO",
      year: 1998,
    },
  ],
  example: {
    given: [14.8, 26.6, 45.72, 196, "metric"],
    gives: 5.03,
    story: "mid-July near Lyon, 14.8 to 26.6 °C",
  },
  body: (m, unit, tMin, tMax, latitude, day) => {
    const inCelsius = (t: typeof tMin) => m.scale(m.sub(t, m.scale(m.of(1), unit.freezing)), unit.degree);
    const [low, high] = [inCelsius(tMin), inCelsius(tMax)];
    const mean = m.div(m.add(low, high), m.of(2));
    const turn = m.mul(m.div(m.mul(m.of(2), m.pi()), m.of(365)), day);
    const nearness = m.step(
      "relative distance of the sun",
      "any",
      m.add(m.of(1), m.mul(m.of(0.033), m.cos(turn))),
    );
    const declination = m.step(
      "declination of the sun, rad",
      "any",
      m.mul(m.of(0.409), m.sin(m.sub(turn, m.of(1.39)))),
    );
    const angle = m.step("latitude, rad", "any", m.div(m.mul(latitude, m.pi()), m.of(180)));
    const rising = m.mul(m.mul(m.of(-1), m.tan(angle)), m.tan(declination));
    const sunset = m.step("sunset hour angle, rad", "any", m.arccos(m.max(m.of(-1), m.min(m.of(1), rising))));
    const sun = m.add(
      m.mul(sunset, m.mul(m.sin(angle), m.sin(declination))),
      m.mul(m.mul(m.cos(angle), m.cos(declination)), m.sin(sunset)),
    );
    const perDay = m.div(m.of(24 * 60 * solarConstant), m.pi());
    const radiation = m.step(
      "extraterrestrial radiation, MJ per m²",
      "any",
      m.mul(m.mul(perDay, nearness), sun),
    );
    const spread = m.max(m.of(0), m.sub(high, low));
    const warmth = m.max(m.of(0), m.add(mean, m.of(17.8)));
    const evaporation = m.mul(
      m.mul(m.mul(m.of(0.0023), warmth), m.root(spread)),
      m.mul(radiation, m.of(evaporated)),
    );
    return m.refuseWhen(
      m.greater(tMin, tMax),
      "t_max",
      "t_max is below t_min: enter the lowest temperature of the day first, then the highest, both in °F (metric: °C).",
      m.scale(m.max(m.of(0), evaporation), unit.depth),
    );
  },
});

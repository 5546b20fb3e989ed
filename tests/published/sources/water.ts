import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

const column = (values: readonly number[]) => values.map((value) => [value]);

// An acre-inch of 27,154 gallons was read in a turf mathematics worksheet; the others are 144 / 231 and 1000 times it.
export const acreInch: PublishedSource = {
  title: "Gallons of an inch of water",
  publisher: "turf mathematics worksheet, arithmetic",
  provenance: "inputs read, figure computed",
  cases: [
    check("WATER_VOLUME", [1, 1], 0.62338, half(5)),
    check("WATER_VOLUME", [1000, 1], 623.4, half(1)),
    check("WATER_VOLUME", [43_560, 1], 27_154, half(0), { provenance: "read in the source" }),
    check("WATER_VOLUME", [43_560, 1], 27_154.3, half(1)),
  ],
};

// G. Grabow after Keller & Bliesner: 15 catches; a quarter is 3.75 cans. The lowest 3 give 0.4013, the lowest 4 0.4962.
const grabow = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12];
export const sprinklerExample: PublishedSource = {
  title: "Sprinkler distribution uniformity, example data",
  publisher: "NC State University, after Keller & Bliesner",
  year: 2022,
  provenance: "inputs read, figure computed",
  cases: [check("CATCH_UNIFORMITY", [column(grabow)], 0.4772, half(4), { not: 0.4013 })],
};

// Merriam & Keller, Farm Irrigation System Evaluation, pages 41 to 43: 15 catches, between 3 cans and 4.
const merriam = [0.23, 0.31, 0.24, 0.24, 0.28, 0.31, 0.27, 0.22, 0.26, 0.31, 0.31, 0.25, 0.2, 0.22, 0.32];
export const merriamKeller: PublishedSource = {
  title: "Farm Irrigation System Evaluation, pages 41 to 43",
  publisher: "Merriam & Keller, Utah State University",
  year: 1978,
  provenance: "inputs read, figure computed",
  cases: [
    check("CATCH_UNIFORMITY", [column(merriam)], 0.8139, {
      within: 0.0079,
      because: "between the lowest 3 cans, 0.8060, and the lowest 4, 0.8218",
    }),
    check("CATCH_UNIFORMITY", [column([...merriam, ...merriam, ...merriam, ...merriam])], 0.8139, {
      within: 0.0079,
      because: "four times the same catches, the same uniformity",
    }),
  ],
};

// University of Florida IFAS, ENH61: depth in 15 minutes times 4 is the depth of an hour; 1/2 to 3/4 in at a time.
export const ifasIrrigation: PublishedSource = {
  title: "Calibrating your irrigation system, ENH61",
  publisher: "University of Florida IFAS",
  provenance: "read in the source",
  cases: [
    check("RUN_TIME", [0.25, 0.25 * 4], 15, exactly),
    check("RUN_TIME", [0.5, 0.125 * 4], 60, exactly, { provenance: "inputs read, figure computed" }),
  ],
};

export const runTimes: PublishedSource = {
  title: "0.15 in on 5,000 ft² at 0.6 in an hour, 75 % uniform",
  publisher: "arithmetic",
  provenance: "from memory",
  cases: [
    check("WATER_VOLUME", [5000, 0.15], 467.5, half(1)),
    check("RUN_TIME", [0.15, 0.6], 15, exactly),
    check("RUN_TIME", [0.15, 0.6, 0.75], 20, exactly),
  ],
};

/**
 * Extraterrestrial radiation through the function: at 9.7 and 34.7 degrees the mean is 22.2, so that mean + 17.8 is 40
 * and the root of the difference 5, and evapotranspiration is 0.0023 x 40 x 5 x 0.408 times the radiation.
 */
const perRadiation = 0.0023 * 40 * 5 * 0.408;
const radiation = (latitude: number, day: number, printed: number, decimals: number) => {
  const { within, because } = half(decimals);
  return check("REFERENCE_ET", [9.7, 34.7, latitude, day, "metric"], printed * perRadiation, {
    within: within * perRadiation,
    because: `radiation ${because}`,
  });
};

// FAO Irrigation and Drainage Paper 56 (Allen et al., 1998), examples 8, 10, 15, 18 and 20.
export const fao56: PublishedSource = {
  title: "Crop evapotranspiration, Irrigation and Drainage Paper 56",
  publisher: "FAO",
  year: 1998,
  provenance: "from memory",
  cases: [
    radiation(-20, 246, 32.2, 1),
    radiation((-0.4 * 180) / Math.PI, 135, 25.1, 1),
    radiation(45 + 43 / 60, 196, 40.6, 1),
    { ...radiation(50.8, 187, 41.08838, 5), provenance: "read in the source" },
    check("REFERENCE_ET", [14.8, 26.6, 45 + 43 / 60, 196, "metric"], 5, half(1)),
  ],
};

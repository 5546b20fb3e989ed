import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

const ounce = 29.5735295625;
const pound = 453.59237;

// PNW Weed Management Handbook: pints of liquid per acre for a rate of active per acre. The first rows are exact; the
// others are rounded to one decimal or a third, up to 5 % away (0.667 printed as 0.7).
const rates = [0.25, 0.5, 0.75, 1, 1.5, 2];
const pints = (concentration: number, row: readonly number[], within: number, because: string) =>
  row.map((printed, i) =>
    check("ACTIVE_RATE", [printed * 16, concentration], rates[i] ?? 0, {
      within: within * (rates[i] ?? 0) + 1e-9,
      because,
    }),
  );
const rough = "pints rounded to a decimal or a third, up to 5 % away";

// The same handbook: mL of a liquid on 1,000 ft² at 1 lb active per acre; some cells are cut off, not rounded.
const millilitres: readonly (readonly [concentration: number, mL: number])[] = [
  [0.67, 130],
  [1, 87],
  [1.5, 58],
  [2, 43],
  [2.5, 35],
  [3, 29],
  [3.34, 26],
  [4, 22],
  [6, 14],
  [7, 12],
];

// And g of a dry product on 1,000 ft² at 1 lb active per acre.
const grams: readonly (readonly [share: number, g: number])[] = [
  [1, 10],
  [0.9, 12],
  [0.8, 13],
  [0.75, 14],
  [0.7, 15],
  [0.65, 16],
  [0.6, 17],
  [0.5, 21],
  [0.4, 26],
  [0.3, 35],
  [0.2, 52],
];

export const pacificNorthwest: PublishedSource = {
  title: "Weights and measures; amount of chemical needed for 1000 ft²",
  publisher: "PNW Pest Management Handbooks",
  provenance: "read in the source",
  cases: [
    ...pints(1, [2, 4, 6, 8, 12, 16], 0, "exact"),
    ...pints(2, [1, 2, 3, 4, 6, 8], 0, "exact"),
    ...pints(4, [0.5, 1, 1.5, 2, 3, 4], 0, "exact"),
    ...pints(8, [0.25, 0.5, 0.75, 1, 1.5, 2], 0, "exact"),
    ...pints(2.64, [0.75, 1.5, 2.25, 3, 4.5, 6], 0.05, rough),
    ...pints(3, [0.7, 1.33, 2, 2.7, 4, 5.33], 0.05 + 1e-9, rough),
    ...pints(3.34, [0.6, 1.2, 1.8, 2.4, 3.6, 4.8], 0.05, rough),
    ...pints(5, [0.4, 0.8, 1.2, 1.6, 2.4, 3.2], 0.05, rough),
    ...pints(6, [0.33, 0.7, 1, 1.33, 2, 2.7], 0.05 + 1e-9, rough),
    ...pints(6.7, [0.3, 0.6, 0.9, 1.2, 1.8, 2.4], 0.05, rough),
    ...pints(7, [0.29, 0.57, 0.87, 1.14, 1.7, 2.3], 0.05, rough),
    ...millilitres.map(([concentration, mL]) =>
      check("LABEL_DOSE", [1000, 128 / concentration], mL / ounce, {
        within: 1 / ounce,
        because: "whole mL, some cut off",
      }),
    ),
    ...grams.map(([share, g]) =>
      check("GRANULE_ACTIVE_RATE", [g / pound, share], 1, { within: 0.5 / g, because: "whole grams" }),
    ),
    check("LABEL_DOSE", [43_560, 1], 1, exactly),
    check("GRANULE_ACTIVE_RATE", [1, 1], 43.56, exactly),
  ],
};

// HortScience 53(11):1689, 2018: 560 g per ha a year is the limit; 0.4996 lb an acre, which is 16 fl oz of a liquid
// with 4 lb a gallon. In metric: 479.3 g per L.
export const hortScience: PublishedSource = {
  title: "Creeping bentgrass control in Kentucky bluegrass, HortScience 53(11)",
  publisher: "American Society for Horticultural Science",
  year: 2018,
  provenance: "inputs read, figure computed",
  cases: [
    check("ACTIVE_RATE", [15.99, 4], 0.4996, {
      within: 0.0002,
      because: "15.99 fl oz printed to 2 decimals",
    }),
    check("SEASON_ROOM", [0.4996, [[0.2498], [0.2498]]], 0, exactly),
  ],
};

// Rates of trials in kg per ha (ASA-CSSA-SSSA abstracts 36149, 55458, 53940), converted to fl oz an acre of 4 lb a gallon.
export const trialAbstracts: PublishedSource = {
  title: "Abstracts 36149, 55458 and 53940",
  publisher: "ASA-CSSA-SSSA",
  year: 2009,
  provenance: "inputs read, figure computed",
  cases: [
    [4, 0.1249],
    [5, 0.1561],
    [6, 0.1874],
    [7.99, 0.2498],
  ].map(([ounces, active]) =>
    check("ACTIVE_RATE", [ounces, 4], active ?? 0, {
      within: 0.0002,
      because: "kg per ha to 3 figures, fl oz to 2 decimals",
    }),
  ),
};

// Arithmetic of a liquid with 4 lb a gallon, made for these checks; the rates come from nobody's label.
export const constructed: PublishedSource = {
  title: "Rates of 4 to 8 fl oz an acre of a liquid with 4 lb a gallon",
  publisher: "arithmetic, NIST factors",
  provenance: "from memory",
  cases: [
    ...(
      [
        [4, 0.0918, 0.125],
        [5, 0.1148, 0.15625],
        [6, 0.1377, 0.1875],
        [8, 0.1837, 0.25],
      ] as const
    ).flatMap(([rate, dose, active]) => [
      check("LABEL_DOSE", [1000, rate], dose, half(4)),
      check("ACTIVE_RATE", [rate, 4], active, exactly),
    ]),
    check("LABEL_DOSE", [8000, 8], 1.469, half(3)),
    check("SEASON_ROOM", [0.5, 0.25, 0.25], 0, exactly),
    check("SEASON_ROOM", [0.5, 0.25, 0.125], 0.125, exactly),
  ],
};

import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

const column = (values: readonly number[]) => values.map((value) => [value]);
const rectangle = (length: number, width: number) => [
  [0, 0],
  [length, 0],
  [length, width],
  [0, width],
];
const triangle = (base: number, height: number) => [
  [0, 0],
  [base, 0],
  [base / 3, height],
];
/** Sources take 3.14 for pi, 0.05 % low. */
const circle = (radius: number, printed: number) =>
  check("RADIAL_AREA", [column([radius, radius, radius, radius])], printed, {
    within: printed * 0.00051,
    because: "3.14 taken for π",
  });

// Surveying course notes, Calculation of areas from offsets to a base line.
const nine = column([3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3]);
export const courseNotes: PublishedSource = {
  title: "Calculation of areas from offsets to a base line",
  publisher: "surveying course notes",
  provenance: "read in the source",
  cases: [
    check("OFFSET_AREA", [nine, 10], 460.75, half(2)),
    check("OFFSET_AREA", [nine, 10, "simpson"], 461.167, half(3)),
  ],
};

// Punmia, Surveying volume 1: ten offsets, an even number.
const ten = column([3.5, 4.3, 6.75, 5.25, 7.5, 8.8, 7.9, 6.4, 4.4, 3.25]);
export const punmia: PublishedSource = {
  title: "Surveying, volume 1, chapter on areas",
  publisher: "textbook (Punmia)",
  provenance: "from memory",
  cases: [
    check("OFFSET_AREA", [ten, 15], 820.125, half(3)),
    check("OFFSET_AREA", [ten, 15, "simpson"], 813.375, half(3)),
    check("OFFSET_AREA", [ten.slice(0, 9), 15, "simpson"], 756, half(3)),
    check("OFFSET_AREA", [ten.slice(8), 15], 57.375, half(3)),
  ],
};

// The offset method of turf: full widths across a line, zero at both ends; and a bed measured from a box round it.
export const offsetMethod: PublishedSource = {
  title: "Offset method of turf, constructed",
  publisher: "constructed",
  provenance: "from memory",
  cases: [
    check("OFFSET_AREA", [column([0, 22, 30, 34, 28, 18, 0]), 10], 1320, exactly),
    check("OFFSET_AREA", [column([0, 22, 30, 34, 28, 18, 0]), 10, "simpson"], 1373.333, half(3)),
    check("OFFSET_AREA", [column([5, 3, 2, 1, 2, 4, 6]), 10], 175, exactly),
    check("OFFSET_AREA", [column([4, 3, 3, 2, 2, 3, 5]), 10], 175, exactly),
  ],
};

// An installation manual's 16-point formula: pi 3.14, the mean rounded to 9.86, its square to 97.22.
const radii = column([7.1, 8.9, 9.7, 10.9, 12.4, 11.7, 11.8, 9.9, 6.8, 8.2, 9.7, 10.4, 12, 11.4, 8.9, 8]);
export const puttingGreen: PublishedSource = {
  title: "How to measure a putting green: 16-point formula",
  publisher: "installation manual",
  provenance: "read in the source",
  cases: [
    check("RADIAL_AREA", [radii, "mean"], 305.27, {
      within: 0.35,
      because: "3.14 for π, and the mean rounded to 9.86",
    }),
    check("RADIAL_AREA", [radii], 314.811, half(3), {
      not: 305.27,
      provenance: "inputs read, figure computed",
    }),
  ],
};

export const westOne: PublishedSource = {
  title: "Turf area calculation, horticulture toolbox",
  publisher: "WestOne, Western Australia",
  provenance: "read in the source",
  cases: [
    check("POLYGON_AREA", [rectangle(30, 20)], 600, exactly),
    check("POLYGON_AREA", [triangle(50, 80)], 2000, exactly),
    circle(15, 706.5),
  ],
};

export const ucAnr: PublishedSource = {
  title: "Why are calculations important?",
  publisher: "UC Agriculture and Natural Resources",
  year: 2015,
  provenance: "read in the source",
  cases: [check("POLYGON_AREA", [rectangle(80, 60)], 4800, exactly), circle(20, 1256)],
};

export const clemson: PublishedSource = {
  title: "HGIC 1220 Measuring the Area of a Home Lawn",
  publisher: "Clemson Cooperative Extension",
  provenance: "read in the source",
  cases: [check("POLYGON_AREA", [rectangle(50, 25)], 1250, exactly), circle(30, 2826)],
};

export const oklahoma: PublishedSource = {
  title: "Calibrating application equipment",
  publisher: "Oklahoma State University, Oklahoma City",
  year: 2013,
  provenance: "read in the source",
  cases: [
    check("POLYGON_AREA", [rectangle(60, 25)], 1500, exactly),
    check("POLYGON_AREA", [triangle(30, 26)], 390, exactly),
    circle(40, 5024),
  ],
};

// J. Mahun, Open Access Surveying Library: the cross products are printed, the area is half of their difference.
export const mahun: PublishedSource = {
  title: "Traverse computations, chapter G Area, example 1",
  publisher: "Open Access Surveying Library",
  provenance: "inputs read, figure computed",
  cases: [
    check(
      "POLYGON_AREA",
      [
        [
          [500, 2000],
          [323.614, 1561.426],
          [526.996, 1488.321],
          [719.336, 1686.956],
        ],
      ],
      102_935.75,
      {
        within: 0.2,
        because: "cross products printed to 1 decimal",
      },
    ),
  ],
};

// US Navy, Engineering Aid manual, figure 7-24.
export const engineeringAid: PublishedSource = {
  title: "Engineering Aid manual, area from coordinates",
  publisher: "US Navy NAVEDTRA",
  provenance: "inputs read, figure computed",
  cases: [
    check(
      "POLYGON_AREA",
      [
        [
          [0, 591.64],
          [125.66, 847.6],
          [716.31, 694.07],
          [523.62, 0],
        ],
      ],
      323_953.7,
      half(1),
    ),
  ],
};

export const faoManual: PublishedSource = {
  title: "Irrigation Water Management, Training Manual 1, 1.1.1",
  publisher: "FAO",
  year: 1985,
  provenance: "read in the source",
  cases: [check("POLYGON_AREA", [triangle(3, 2)], 3, exactly)],
};

// Right triangles whose sides are whole numbers.
export const rightTriangles: PublishedSource = {
  title: "Right triangles 3-4-5, 5-12-13 and 8-15-17",
  publisher: "general fact",
  provenance: "from memory",
  cases: (
    [
      [3, 4, 5],
      [5, 12, 13],
      [8, 15, 17],
    ] as const
  ).map(([a, b, c]) =>
    check(
      "PERIMETER",
      [
        [
          [0, 0],
          [a, 0],
          [0, b],
        ],
      ],
      a + b + c,
      exactly,
    ),
  ),
};

// C. Karney's outline of Antarctica, an example of the planimeter of GeographicLib; it goes round the pole.
const antarctica = [
  [-63.1, -58],
  [-72.9, -74],
  [-71.9, -102],
  [-74.9, -102],
  [-74.3, -131],
  [-77.5, -163],
  [-77.4, 163],
  [-71.7, 172],
  [-65.9, 140],
  [-65.7, 113],
  [-66.6, 88],
  [-66.9, 59],
  [-69.8, 25],
  [-70, -4],
  [-71, -14],
  [-77.3, -33],
  [-77.9, -46],
  [-74.7, -61],
];
export const karney: PublishedSource = {
  title: "Planimeter, example of Antarctica",
  publisher: "GeographicLib documentation",
  provenance: "from memory",
  cases: [
    check("GEO_PERIMETER", [antarctica, "metric"], 16_831_067.893, half(3)),
    check("GEO_AREA", [antarctica, "metric"], 13_662_703_680_020.1, {
      within: 1,
      because: "printed to 1 decimal, a double keeps three",
    }),
  ],
};

import type { PublishedSource } from "../published";
import { check, exactly, half } from "../published";

/** The length of a course of 1/128 acre, which the sources take as 340 ft². */
const course = (inches: number, feet: number, how: { within: number; because: string }) =>
  check("WALK_LENGTH", [340, inches / 12], feet, how);
const acre128 = 43_560 / 128;

// LSU AgCenter, Ounces Equal Gallons: sprayer calibration.
export const lsu: PublishedSource = {
  title: "Ounces Equal Gallons: sprayer calibration",
  publisher: "LSU AgCenter",
  provenance: "read in the source",
  cases: [
    ...(
      [
        [10, 408],
        [12, 340],
        [14, 291],
        [16, 255],
        [18, 227],
        [20, 204],
        [22, 185],
        [24, 170],
        [26, 157],
        [28, 146],
        [30, 136],
      ] as const
    ).map(([inches, feet]) => course(inches, feet, half(0))),
    check("SPRAY_VOLUME", [14, acre128], 14, exactly),
  ],
};

// Ohio State University Extension, Bulletin 817-00: 32 in prints 127 where 340 x 12 / 32 is 127.5.
export const ohioSprayer: PublishedSource = {
  title: "Calibrating Turfgrass Chemical Application Equipment, Bulletin 817-00",
  publisher: "Ohio State University Extension",
  year: 2000,
  provenance: "read in the source",
  cases: [
    ...(
      [
        [18, 227],
        [20, 204],
        [22, 185],
        [24, 170],
        [26, 157],
        [28, 146],
        [30, 136],
        [32, 127],
        [34, 120],
        [36, 113],
        [38, 107],
        [40, 102],
      ] as const
    ).map(([inches, feet]) =>
      course(inches, feet, { within: 1, because: "whole feet, one of them cut off" }),
    ),
    check("SPRAY_VOLUME", [80, acre128], 80, exactly),
  ],
};

// Extension slide set on the 1/128 method: a plot of 18.5 by 18.5 ft taken as 340 ft²; a quart an acre at 40 gallons.
export const handSprayers: PublishedSource = {
  title: "1/128 method of calibration, hand sprayers and hand guns",
  publisher: "extension slide set",
  provenance: "read in the source",
  cases: [
    check("SPRAY_VOLUME", [40, 18.5 * 18.5], 40, { within: 0.3, because: "342.25 ft² taken as 1/128 acre" }),
    check("TANK_LOADS", [1089, 32, 40, 1], 0.8, half(1), { cell: [0, 3] }),
    check("TANK_LOADS", [1089, 32, 40, 1], 1089, exactly, {
      cell: [0, 1],
      provenance: "inputs read, figure computed",
    }),
  ],
};

// NC State Extension, Backpack sprayer calibration worksheet; 340 ft² for 1/128 acre.
export const ncBackpack: PublishedSource = {
  title: "Backpack sprayer calibration worksheet",
  publisher: "NC State Extension",
  provenance: "read in the source",
  cases: [
    check("WALK_LENGTH", [340, 6], 57, half(0)),
    check("SPRAY_VOLUME", [7.5, 340], 7.5, half(1)),
    check("TANK_LOADS", [(43_560 * 3) / 7.5, 8, 7.5, 3], 3.2, half(1), { cell: [0, 3] }),
  ],
};

// Virginia Cooperative Extension 456-502, quoted: 1.5 gallons per 1000 ft² are 65 gallons an acre.
export const virginia: PublishedSource = {
  title: "Publication 456-502, quoted",
  publisher: "Virginia Cooperative Extension",
  year: 2009,
  provenance: "read in the source",
  cases: [check("SPRAY_VOLUME", [1.5 * 128, 1000], 65, half(0))],
};

// Mesa County, Colorado: gallons an acre = 5940 x gallons a minute / (mph x inches); 495 with the width in feet.
export const mesaCounty: PublishedSource = {
  title: "Stationary calibration method for boom sprayers",
  publisher: "Mesa County weed and pest",
  provenance: "read in the source",
  cases: [
    check("NOZZLE_VOLUME", [1, 1, 1], 5940, exactly),
    check("NOZZLE_VOLUME", [1, 1, 12], 495, exactly),
    check("NOZZLE_VOLUME", [0.4, 3, 20], 39.6, half(1), { provenance: "from memory" }),
  ],
};

// NC State Extension: 20 gallons an acre at 3 mph are 10 at 6 mph.
export const ncBoom: PublishedSource = {
  title: "The calibration of turfgrass boom sprayers and spreaders",
  publisher: "NC State Extension",
  provenance: "read in the source",
  cases: [check("NOZZLE_VOLUME", [(20 * 3 * 20) / 5940, 6, 20], 10, half(0))],
};

// A Florida exam text divides by mph where it defines mph x 88, and prints 327 gallons an acre.
export const floridaExam: PublishedSource = {
  title: "Pest control examination study text, page 213",
  publisher: "exam preparation book",
  provenance: "inputs read, figure computed",
  cases: [check("NOZZLE_VOLUME", [0.15, 5, 48], 3.71, half(2), { not: 327 })],
};

// National Pesticide Safety Education Center, Hose-end sprayer calibration: 1.25 gallons on 250 ft².
export const hoseEnd: PublishedSource = {
  title: "Hose-end sprayer calibration",
  publisher: "National Pesticide Safety Education Center",
  provenance: "inputs read, figure computed",
  cases: [check("SPRAY_VOLUME", [1.25 * 128, 250], 5 * 43.56, exactly)],
};

// Arithmetic of tanks, made for these checks.
export const tanks: PublishedSource = {
  title: "A 4 gallon tank at 20 and at 43.56 gallons an acre",
  publisher: "arithmetic",
  provenance: "from memory",
  cases: [
    check("TANK_LOADS", [8712, 5, 20, 4], 8712, exactly, { cell: [0, 1] }),
    check("TANK_LOADS", [8712, 5, 20, 4], 1, exactly, { cell: [0, 3] }),
    check("TANK_LOADS", [4000, 5, 43.56, 4], 0.4591, half(4), { cell: [0, 3] }),
  ],
};

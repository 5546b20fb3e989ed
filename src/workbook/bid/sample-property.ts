/**
 * The sample job: an invented property, supplier, label and prices, the same wherever an example is shown. Its label
 * figures belong to no product and must never be used.
 */
import type { UnitSystem } from "../../engine/units";

export interface ZoneInput {
  readonly name: string;
  readonly measured: "corners" | "strip" | "typed";
  readonly corners?: readonly (readonly [x: number, y: number])[];
  readonly length?: number;
  readonly width?: number;
  readonly insideCorners?: number;
  readonly area?: number;
  readonly seedRate: number;
}

export interface JobInput {
  readonly property: string;
  readonly zones: readonly ZoneInput[];
  readonly supplier: string;
  readonly seed: {
    readonly name: string;
    readonly purity: number;
    readonly germination: number;
    readonly bag: number;
    readonly price: number;
  };
  readonly starter: {
    readonly name: string;
    readonly grade: string;
    readonly phosphateRate: number;
    readonly activeShare: number;
    readonly bag: number;
    readonly price: number;
  };
  readonly spray: {
    readonly name: string;
    readonly labelRate: number;
    readonly concentration: number;
    readonly seasonLimit: number;
    readonly bottle: number;
    readonly price: number;
  };
  readonly topdressing: {
    readonly name: string;
    readonly depth: number;
    readonly bag: number;
    readonly screenLoss: number;
    readonly swell: number;
    readonly price: number;
  };
  readonly labour: { readonly hours: number; readonly hourly: number };
  readonly margin: number;
  readonly tax: number;
}

const shared = {
  property: "Larkfield House, 14 Quarry Lane",
  supplier: "Marl Street Turf Supply",
  labour: { hours: 26, hourly: 38 },
  margin: 0.35,
  tax: 0.06,
};

/** The sample property measured in feet, with sizes as a US supplier packs them. */
const us: JobInput = {
  ...shared,
  zones: [
    {
      name: "Front lawn",
      measured: "corners",
      corners: [
        [0, 0],
        [64, 0],
        [64, 38],
        [40, 52],
        [0, 52],
      ],
      seedRate: 7,
    },
    { name: "Drive edge", measured: "strip", length: 180, width: 36, insideCorners: 2, seedRate: 7 },
    { name: "Back lawn", measured: "typed", area: 4200, seedRate: 4 },
  ],
  seed: { name: "Ryegrass-bluegrass mix", purity: 0.97, germination: 0.88, bag: 25, price: 86 },
  starter: {
    name: "Starter with a pre-emergent",
    grade: "10-18-22",
    phosphateRate: 1,
    activeShare: 0.0008,
    bag: 40,
    price: 54,
  },
  spray: {
    name: "Spray of the same active",
    labelRate: 4,
    concentration: 4,
    seasonLimit: 0.35,
    bottle: 8,
    price: 61,
  },
  topdressing: { name: "Screened peat blend", depth: 0.25, bag: 3, screenLoss: 0.2, swell: 1, price: 11.5 },
};

/** The same property measured in metres. */
const metric: JobInput = {
  ...shared,
  zones: [
    {
      name: "Front lawn",
      measured: "corners",
      corners: [
        [0, 0],
        [19.5, 0],
        [19.5, 11.6],
        [12.2, 15.8],
        [0, 15.8],
      ],
      seedRate: 34,
    },
    { name: "Drive edge", measured: "strip", length: 55, width: 90, insideCorners: 2, seedRate: 34 },
    { name: "Back lawn", measured: "typed", area: 390, seedRate: 20 },
  ],
  seed: { name: "Ryegrass-bluegrass mix", purity: 0.97, germination: 0.88, bag: 10, price: 78 },
  starter: {
    name: "Starter with a pre-emergent",
    grade: "10-18-22",
    phosphateRate: 5,
    activeShare: 0.0008,
    bag: 20,
    price: 60,
  },
  spray: {
    name: "Spray of the same active",
    labelRate: 290,
    concentration: 480,
    seasonLimit: 390,
    bottle: 250,
    price: 61,
  },
  topdressing: { name: "Screened peat blend", depth: 6, bag: 80, screenLoss: 0.2, swell: 1, price: 11.5 },
};

export const sampleProperty: Record<UnitSystem, JobInput> = { us, metric };

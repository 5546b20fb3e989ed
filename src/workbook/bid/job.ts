/** A job filled in: what an estimator would type into the sheets of a bid. */
import type { ZoneInput } from "./sheets/zones";

/** One outline of a zone; a zone may have several, and some of them may be left out of it. */
export interface OutlineInput {
  readonly zone: string;
  readonly method: "corners" | "offsets" | "radii" | "coordinates";
  /** Distance between offsets. */
  readonly interval?: number;
  readonly counts: "area" | "left out";
  /** x and y, latitude and longitude, or one offset or radius each. */
  readonly points: readonly (readonly number[])[];
}

export interface MaterialInput {
  readonly name: string;
  readonly inStock?: number;
  readonly packs: readonly { readonly size: number; readonly price: number }[];
  readonly supplier?: string;
}

export interface SeedLotInput extends MaterialInput {
  readonly grass: string;
  readonly lot: string;
  /** Date of the germination test, as the sheet counts days. */
  readonly tested: number;
  readonly purity: number;
  readonly germination: number;
  readonly dormant?: number;
  readonly seedsPerWeight?: number;
}

export interface StarterInput extends MaterialInput {
  readonly grade: string;
  readonly active?: string;
  readonly activeShare?: number;
}

export interface PreEmergentInput extends MaterialInput {
  readonly active: string;
  readonly rateLow: number;
  readonly rateHigh: number;
  readonly concentration: number;
  readonly seasonLimit: number;
  readonly leastVolume: number;
  readonly grasses: string;
  readonly repeatDays: number;
}

export interface TopdressingInput extends MaterialInput {
  readonly swell: number;
  readonly screenLoss: number;
}

export interface ConditionerInput extends MaterialInput {
  readonly rate: number;
  readonly repeatDays: number;
}

/** What a step of the work takes beside its materials. */
export interface StepInput {
  /** Area that one person does in an hour. */
  readonly pace?: number;
  readonly fixedHours?: number;
  readonly equipment?: number;
}

export const workSteps = [
  "prepare",
  "seed",
  "starter",
  "preEmergent",
  "topdress",
  "conditioner",
  "finish",
] as const;
export type WorkStep = (typeof workSteps)[number];

export interface JobInput {
  readonly property: string;
  readonly zones: readonly ZoneInput[];
  readonly outlines: readonly OutlineInput[];
  readonly seedLots: readonly SeedLotInput[];
  readonly starters: readonly StarterInput[];
  readonly preEmergents: readonly PreEmergentInput[];
  readonly topdressings: readonly TopdressingInput[];
  readonly conditioners: readonly ConditionerInput[];
  readonly chosen: {
    readonly seedLot: string;
    readonly starter?: string;
    readonly phosphateRate?: number;
    readonly preEmergent?: string;
    readonly labelRate?: number;
    readonly sprayVolume?: number;
    readonly tank?: number;
    readonly topdressing?: string;
    readonly depth?: number;
    readonly conditioner?: string;
    readonly dropWidth?: number;
    readonly swath?: number;
    readonly hopper?: number;
    readonly walkingPace?: number;
  };
  readonly work: {
    readonly crew: number;
    readonly hourly: number;
    readonly steps: Readonly<Record<WorkStep, StepInput>>;
    readonly overhead: number;
    readonly margin: number;
    readonly tax: number;
    readonly deposit: number;
  };
  readonly client: {
    readonly name: string;
    readonly company: string;
    /** Days as the sheet counts them. */
    readonly bidDay: number;
    readonly seedingDay: number;
    readonly validDays: number;
  };
}

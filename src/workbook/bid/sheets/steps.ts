/** The steps of the work, by the names that all sheets call them. */
import type { WorkStep } from "../job";

export const stepNames: Readonly<Record<WorkStep, string>> = {
  prepare: "Prepare the ground",
  seed: "Seed",
  starter: "Starter fertilizer",
  preEmergent: "Pre-emergent",
  topdress: "Topdressing",
  conditioner: "Soil conditioner",
  finish: "Clean up and set up the water",
};

/** The steps that use a material, in the order of the job. */
export const bought = ["seed", "starter", "preEmergent", "topdress", "conditioner"] as const;
export type Bought = (typeof bought)[number];

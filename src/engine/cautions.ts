/** The cautions that stand wherever a pesticide or fertiliser figure is used. */
import type { Caution } from "./formula";

const localRules = "Local phosphorus and pesticide rules and licensed applicators decide.";
const hardSurfaces = "Keep product off hard surfaces and out of water.";

export const cautions: Record<Caution, readonly string[]> = {
  pesticide: [
    "The label you hold is the law and overrides every figure here.",
    "Wear the protective equipment that the label asks for.",
    "Keep people and pets off until the area is dry.",
    hardSurfaces,
    localRules,
    "No herbicide rate is supplied here: rates, limits and species come from your own label.",
  ],
  fertiliser: [
    "The label on the bag overrides every figure here.",
    hardSurfaces,
    "Keep people and pets off until what was spread is watered in and dry.",
    localRules,
  ],
};

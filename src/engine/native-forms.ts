/**
 * Native forms of functions that no algebra expresses, or not exactly. Only who writes formulas needs them, so they
 * stand beside the definitions and stay out of what the worksheet functions load.
 */
import { geoAreaByFormula, geoPerimeterByFormula } from "./measure/geo-native";
import { packMixByFormula } from "./order/pack-mix-native";
import type { Approximation, CellByCell } from "./own-form";

export const ownForms: Readonly<Record<string, CellByCell | Approximation>> = {
  GEO_AREA: geoAreaByFormula,
  GEO_PERIMETER: geoPerimeterByFormula,
  PACK_MIX: packMixByFormula,
};

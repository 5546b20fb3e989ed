import { catalogue } from "../engine/catalogue";
import { worksheetFunction } from "./worksheet-function";

for (const definition of catalogue) {
  try {
    CustomFunctions.associate(definition.id, worksheetFunction(definition));
  } catch {
    // Nobody hears of an error here, and the functions that follow must not be lost with this one.
  }
}

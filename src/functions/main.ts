import { catalogue } from "../engine/catalogue";
import { worksheetFunction } from "./worksheet-function";

for (const definition of catalogue) {
  CustomFunctions.associate(definition.id, worksheetFunction(definition));
}

/** What the host is told about each worksheet function, made from the catalogue: names, sentences, shapes. */
import { catalogue } from "../engine/catalogue";
import type { WorksheetFunction } from "../engine/formula";
import { givesOneValue } from "../engine/formula";
import type { Parameter } from "../engine/parameters";
import { isOptional, isRepeating, parameterSentence } from "../engine/parameters";

interface ParameterMetadata {
  readonly name: string;
  readonly description: string;
  /** Always "any": the host would answer a text with a bare #VALUE!, and the person deserves a sentence. */
  readonly type: "any";
  readonly dimensionality: "scalar" | "matrix";
  readonly optional?: true;
  readonly repeating?: true;
}

export interface FunctionMetadata {
  readonly id: string;
  readonly name: string;
  readonly description: string;
  readonly parameters: readonly ParameterMetadata[];
  readonly result: {
    readonly type: "number" | "string" | "any";
    readonly dimensionality: "scalar" | "matrix";
  };
}

const takesOneCell = ({ takes }: Parameter): boolean => takes === "number" || takes === "text";

const parameterMetadata = (parameter: Parameter): ParameterMetadata => ({
  name: parameter.id,
  description: parameterSentence(parameter),
  type: "any",
  dimensionality: takesOneCell(parameter) ? "scalar" : "matrix",
  ...(isOptional(parameter) ? { optional: true } : {}),
  ...(isRepeating(parameter) ? { repeating: true } : {}),
});

const functionMetadata = (definition: WorksheetFunction): FunctionMetadata => {
  const { id, sentence, parameters, result } = definition;
  return {
    id,
    name: id,
    description: sentence,
    parameters: parameters.map(parameterMetadata),
    result: {
      type: definition.form === "each row" ? "any" : result.kind === "text" ? "string" : "number",
      dimensionality: givesOneValue(definition) ? "scalar" : "matrix",
    },
  };
};

export const metadata = (): { functions: readonly FunctionMetadata[] } => ({
  functions: catalogue.map(functionMetadata),
});

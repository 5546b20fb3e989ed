/** What the host is told about each worksheet function, made from the catalogue: names, sentences, shapes. */
import { catalogue } from "../engine/catalogue";
import type { WorksheetFunction } from "../engine/formula";
import type { Parameter } from "../engine/parameters";
import { isOptional, parameterSentence } from "../engine/parameters";

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
  readonly result: { readonly type: "number" | "string"; readonly dimensionality: "scalar" };
}

const parameterMetadata = (parameter: Parameter): ParameterMetadata => ({
  name: parameter.id,
  description: parameterSentence(parameter),
  type: "any",
  dimensionality: parameter.takes === "range" || parameter.takes === "repeating" ? "matrix" : "scalar",
  ...(isOptional(parameter) ? { optional: true } : {}),
  ...(parameter.takes === "repeating" ? { repeating: true } : {}),
});

const functionMetadata = ({ id, sentence, parameters, result }: WorksheetFunction): FunctionMetadata => ({
  id,
  name: id,
  description: sentence,
  parameters: parameters.map(parameterMetadata),
  result: { type: result.kind === "text" ? "string" : "number", dimensionality: "scalar" },
});

export const metadata = (): { functions: readonly FunctionMetadata[] } => ({
  functions: catalogue.map(functionMetadata),
});

/** The part of a functions.json file that registration needs. */
export interface FunctionsMetadata {
  functions: readonly FunctionMetadata[];
}

export interface FunctionMetadata {
  id: string;
  name: string;
  description?: string;
  parameters: readonly ParameterMetadata[];
  result: { type?: string; dimensionality?: string };
}

export interface ParameterMetadata {
  name: string;
  description?: string;
  type?: string;
  dimensionality?: string;
  optional?: boolean;
  repeating?: boolean;
}

/** Refuses what is not a functions.json file. */
export function functionsMetadata(json: unknown): FunctionsMetadata {
  const list = (json as { functions?: unknown } | null)?.functions;
  if (!Array.isArray(list)) throw new Error("The functions metadata has no list of functions.");
  return json as FunctionsMetadata;
}

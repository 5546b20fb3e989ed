/** The functions in the order of the job, and which of them a search finds. */
import { catalogue } from "../engine/catalogue";
import type { JobStep, WorksheetFunction } from "../engine/formula";
import { jobSteps } from "../engine/formula";
import { nameOf } from "./words";

export interface Group {
  readonly step: JobStep;
  readonly heading: string;
  readonly functions: readonly WorksheetFunction[];
}

/** Lower case, and "fertilizer" finds "fertiliser". */
const folded = (text: string): string =>
  text
    .normalize("NFKD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase()
    .replace(/iz(?=[aei])/g, "is");

const searchable = (definition: WorksheetFunction): string =>
  folded(
    [
      nameOf(definition),
      definition.id.replaceAll("_", " "),
      definition.sentence,
      jobSteps[definition.step],
      definition.result.name,
      ...definition.parameters.map(({ id, about }) => `${id.replaceAll("_", " ")} ${about}`),
    ].join(" "),
  );

/** Groups with at least one function in which every word of the query occurs. */
export function groupsFor(query: string, all: readonly WorksheetFunction[] = catalogue): readonly Group[] {
  const words = folded(query).split(/\s+/).filter(Boolean);
  const found = all.filter((definition) => {
    const text = searchable(definition);
    return words.every((word) => text.includes(word));
  });
  return (Object.keys(jobSteps) as JobStep[])
    .map((step) => ({
      step,
      heading: jobSteps[step],
      functions: found.filter((definition) => definition.step === step),
    }))
    .filter(({ functions }) => functions.length > 0);
}

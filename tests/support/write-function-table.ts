/** Writes the tables that are made from the catalogue into the README and the contributor guide. */
import { catalogue } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { ownForms } from "../../src/engine/native-forms";
import { jobSteps, whyNoFormula } from "../../src/engine/formula";
import { publishedSources } from "../published/sources";
import { signature } from "./signature";
import { fill, table } from "./tables-in-text";

function nativeForm(definition: WorksheetFunction): string {
  const own = ownForms[definition.id];
  const trust = definition.unchecked === undefined ? "" : `; takes on trust ${definition.unchecked}`;
  if (own?.form === "cell by cell") return `yes, one formula a cell, for ${own.limits}`;
  if (own !== undefined) return `yes, within ${own.tolerance} of it, for ${own.limits}${trust}`;
  switch (definition.form) {
    case "formula":
      return `yes${trust}`;
    case "spilled formula":
      return "yes, one formula a cell";
    case "each row":
      return "yes, one formula a row";
    default:
      return `no: ${whyNoFormula(definition) ?? ""}`;
  }
}

function functionTable(): string {
  const steps = [...new Set(catalogue.map(({ step }) => step))];
  return steps
    .map((step) => {
      const rows = catalogue
        .filter((definition) => definition.step === step)
        .map((definition) => [`\`${signature(definition)}\``, definition.sentence, nativeForm(definition)]);
      return `### ${jobSteps[step]}\n\n${table(["function", "what it gives", "native form"], rows)}`;
    })
    .join("\n\n");
}

/** What else has an opinion on a function, beside the published figures. */
function secondEngines(definition: WorksheetFunction): string {
  const { id, parameters } = definition;
  const engines = [
    whyNoFormula(definition) === undefined ? "LibreOffice, IronCalc" : "",
    id === "PACK_MIX" ? "brute force, HiGHS" : "",
    id.startsWith("GEO_") ? "length of a degree on WGS84" : "",
    parameters.some((parameter) => parameter.id === "units") ? "mathjs (units)" : "",
  ].filter((engine) => engine !== "");
  return engines.length === 0 ? "–" : engines.join(", ");
}

function publishedTable(): string {
  const rows = catalogue.map((definition) => {
    const cases = publishedSources.flatMap((source) =>
      source.cases
        .filter((one) => one.function === definition.id)
        .map((one) => ({ source, provenance: one.provenance ?? source.provenance })),
    );
    const count = (provenance: string) => cases.filter((one) => one.provenance === provenance).length;
    return [
      `\`${definition.id}\``,
      String(cases.length),
      String(new Set(cases.map(({ source }) => source)).size),
      String(count("from memory")),
      String(count("common practice")),
      secondEngines(definition),
    ];
  });
  return table(["function", "cases", "sources", "from memory", "common practice", "second engine"], rows);
}

await fill("README.md", "functions", functionTable());
await fill("DEVELOPERS.md", "published", publishedTable());

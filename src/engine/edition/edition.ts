import { computed } from "../formula";

/** The version of the functions; a test holds it to package.json. */
export const version = "0.1.0";

/** For the pane to compare with its own. */
export const edition = computed({
  id: "EDITION",
  step: "edition",
  sentence: "Version text of the Swardsheet functions that are running.",
  equation: "the version of the add-in",
  result: { name: "edition", kind: "text" },
  parameters: [],
  whyNoFormula: "The version of the add-in is not a quantity; its text is left in the cell.",
  sources: [],
  example: { given: [], gives: version, story: "the edition this page was made from" },
  compute: () => version,
});

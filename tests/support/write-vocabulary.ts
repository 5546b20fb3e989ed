/** Adds new functions to the list of what may be called in a workbook. */
import { writeFileSync } from "node:fs";
import { catalogue } from "../../src/engine/catalogue";
import { signature } from "./signature";
import { vocabulary, vocabularyFile, withNew } from "./vocabulary";

writeFileSync(vocabularyFile, `${withNew(vocabulary(), catalogue.map(signature)).join("\n")}\n`);

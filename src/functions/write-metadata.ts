/** Writes functions.json from the catalogue; the file is committed, and the tests fail when it drifts. */
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { metadata } from "./metadata";

const path = fileURLToPath(new URL("functions.json", import.meta.url));
const text = `${JSON.stringify(metadata(), null, 2)}\n`;
// Left as it is where nothing changed: others may be reading it.
if (readFileSync(path, "utf8") !== text) writeFileSync(path, text);

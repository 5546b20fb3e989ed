/** Writes functions.json from the catalogue; the file is committed, and the tests fail when it drifts. */
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { metadata } from "./metadata";

writeFileSync(
  fileURLToPath(new URL("functions.json", import.meta.url)),
  `${JSON.stringify(metadata(), null, 2)}\n`,
);

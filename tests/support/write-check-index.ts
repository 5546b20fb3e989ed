/** Writes the list of checks: every file beside it holds one. */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { format, resolveConfig } from "prettier";

const folder = new URL("../../src/workbook/checks/rules/", import.meta.url);
const index = fileURLToPath(new URL("index.ts", folder));

const rules = readdirSync(folder)
  .filter((file) => file.endsWith(".ts") && file !== "index.ts")
  .sort()
  .map((file) => {
    const text = readFileSync(new URL(file, folder), "utf8");
    const [check, ...others] = [...text.matchAll(/^export const (\w+): Check\b/gm)].map(
      ([, name = ""]) => name,
    );
    if (check === undefined || others.length > 0)
      throw new Error(
        `src/workbook/checks/rules/${file} is to export one check, as \`export const name: Check\`.`,
      );
    return { from: `./${file.replace(/\.ts$/, "")}`, check };
  });

const text = `/** Every check. Made by \`npm run generate\` from the files beside this one. Findings have an order of their own. */
import type { Check } from "../check";
${rules.map(({ from, check }) => `import { ${check} } from "${from}";`).join("\n")}

export const checks: readonly Check[] = [${rules.map(({ check }) => check).join(", ")}];
`;
const written = await format(text, { ...(await resolveConfig(index)), filepath: index });
// Left as it is where nothing changed: others may be reading it.
if (readFileSync(index, "utf8") !== written) writeFileSync(index, written);

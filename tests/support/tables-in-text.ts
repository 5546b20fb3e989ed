/** Tables in the texts of the project, between marks that say what they are made from. */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { format, resolveConfig } from "prettier";

const row = (cells: readonly string[]): string =>
  `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
export const table = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [row(head), row(head.map(() => "---")), ...rows.map(row)].join("\n");

export async function fill(file: string, mark: string, content: string): Promise<void> {
  const path = fileURLToPath(new URL(`../../${file}`, import.meta.url));
  const [begin, end] = [`<!-- ${mark}:begin -->`, `<!-- ${mark}:end -->`];
  const text = existsSync(path) ? readFileSync(path, "utf8") : "";
  if (!text.includes(begin) || !text.includes(end)) {
    console.log(`${file} has no place marked ${mark}: nothing written.`);
    return;
  }
  const [before = "", rest = ""] = text.split(begin);
  const after = rest.split(end)[1] ?? "";
  const filled = `${before}${begin}\n\n${content}\n\n${end}${after}`;
  const options = (await resolveConfig(path)) ?? {};
  writeFileSync(path, await format(filled, { ...options, filepath: path }));
}

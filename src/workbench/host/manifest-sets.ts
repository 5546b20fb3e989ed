/** Comments may name elements too, so they go first. */
const COMMENTS = /<!--[\s\S]*?-->/g;
const REQUIRED = /<Requirements>([\s\S]*?)<\/Requirements>/;
const SETS = /<Sets DefaultMinVersion="([\d.]+)"/;
const SET = /<Set\s+Name="(\w+)"(?:\s+MinVersion="([\d.]+)")?\s*\/>/g;

/** What a host has that runs an add-in at all, whatever the manifest asks for. */
const ALWAYS = { RichApiRuntime: "1.1" };

/** The requirement sets that a manifest asks for. */
export function manifestSets(manifest: string): Readonly<Record<string, string>> {
  const required = REQUIRED.exec(manifest.replace(COMMENTS, ""))?.[1];
  if (required === undefined) throw new Error("The manifest asks for no requirement sets.");
  const least = SETS.exec(required)?.[1] ?? "1.1";
  const asked = [...required.matchAll(SET)].map(([, name = "", version = least]) => [name, version] as const);
  return { ...ALWAYS, ...Object.fromEntries(asked) };
}

/** The notices of the libraries in what is published: those that the build really put there, by its own source maps. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { root, filesBelow } from "./places";

export interface BundledPackage {
  readonly name: string;
  readonly version: string;
  /** As the package names it, in the identifiers of SPDX. */
  readonly license: string;
  readonly text: string;
}

/** The license of packages that come without its text: as it stands in the repository each names as its own. */
const apart: Readonly<Record<string, string>> = {
  "@fluentui/web-components": "microsoft",
  "@microsoft/fast-element": "microsoft",
  "@microsoft/focusgroup-polyfill": "microsoft",
  saxes: "saxes",
};

const inPackage = /\/node_modules\/((?:@[^/]+\/)?[^/]+)\//;
const ofBundler = /\/webpack\/(?:bootstrap|runtime\/)/;

/** The packages that a source map names: what the bundler adds of its own is a part of it too. */
export function packagesIn(map: string): readonly string[] {
  const { sources } = JSON.parse(map) as { sources: readonly string[] };
  const named = sources.map((source) => {
    const all = source.split(/(?=\/node_modules\/)/);
    const inner = inPackage.exec(all[all.length - 1] ?? "")?.[1];
    return inner ?? (ofBundler.test(source) ? "webpack" : undefined);
  });
  return [...new Set(named.filter((name) => name !== undefined))];
}

/** The packages of everything that is published; what only the workbench holds is not. */
export function bundledPackages(built: string): readonly BundledPackage[] {
  const maps = join(built, "workbench/maps");
  const published = filesBelow(maps).filter((file) => !file.startsWith("workbench/"));
  const names = published.flatMap((file) => packagesIn(readFileSync(join(maps, file), "utf8")));
  return [...new Set(names)].sort().map(described);
}

function described(name: string): BundledPackage {
  const folder = join(root, "node_modules", name);
  const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as {
    version: string;
    license?: string;
  };
  if (!license) throw new Error(`${name} names no license, so it cannot be published with the add-in.`);
  return { name, version, license, text: licenseText(name, folder) };
}

function licenseText(name: string, folder: string): string {
  const own = readdirSync(folder).filter((file) => /^(?:licen[cs]e|notice|copying)\b/i.test(file));
  const kept = apart[name];
  const files = own.length
    ? own.sort().map((file) => join(folder, file))
    : [join(root, "src/publish/licenses", `${kept ?? "none"}.txt`)];
  if (!files.every((file) => existsSync(file)))
    throw new Error(
      `${name} comes without the text of its license: put the text of its repository into src/publish/licenses.`,
    );
  return files.map((file) => readFileSync(file, "utf8").replaceAll("\r\n", "\n").trim()).join("\n\n");
}

const escaped = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

const section = ({ name, version, license, text }: BundledPackage): string => `
      <section>
        <h2>${escaped(name)}</h2>
        <p>${escaped(version)}, ${escaped(license)}</p>
        <pre>
${escaped(text)}</pre>
      </section>`;

/** A page beside help and privacy; its policy is filled in by the build, as that of the others is. */
export const noticesPage = (packages: readonly BundledPackage[]): string => `<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy" content="{policy}" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <title>Swardsheet: notices</title>
    <link rel="icon" href="icons/icon-32.png" />
    <link rel="stylesheet" href="pages.css" />
  </head>
  <body>
    <main>
      <h1>Swardsheet: notices</h1>
      <p>
        The add-in holds parts of these libraries, with thanks to who wrote them. Each is used under its own
        license, whose text follows.
      </p>
${packages.map(section).join("\n")}

      <p>Back to <a href="support.html">help and safety</a>.</p>
    </main>
  </body>
</html>
`;

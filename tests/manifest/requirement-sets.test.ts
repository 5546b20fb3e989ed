/** The manifest names the sets of members that a host must have; nothing outside them may be used without asking. */
import { readFileSync } from "node:fs";
import { relative } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("../../", import.meta.url));
const manifest = readFileSync(`${root}manifest.xml`, "utf8");

/** A set and the version of it that a host must have at the least: `ExcelApi 1.9`. */
interface Asked {
  readonly set: string;
  readonly version: string;
}

const promised = [...manifest.matchAll(/<Set Name="(\w+)" MinVersion="([\d.]+)"/g)].map(
  ([, set = "", version = ""]): Asked => ({ set, version }),
);

const parts = (version: string): readonly number[] => version.split(".").map(Number);
function reaches(version: string, least: string): boolean {
  const [[major = 0, minor = 0], [leastMajor = 0, leastMinor = 0]] = [parts(version), parts(least)];
  return major > leastMajor || (major === leastMajor && minor >= leastMinor);
}
const covers = (sets: readonly Asked[], { set, version }: Asked): boolean =>
  sets.some((one) => one.set === set && reaches(one.version, version));

function program(): ts.Program {
  const { config } = ts.readConfigFile(`${root}tsconfig.json`, (path) => ts.sys.readFile(path)) as {
    config: object;
  };
  const { fileNames, options } = ts.parseJsonConfigFileContent(config, ts.sys, root);
  return ts.createProgram(
    fileNames.filter((name) => /\/src\/(engine|functions|workbook|pane)\//.test(name)),
    options,
  );
}

const isHosts = (declaration: ts.Declaration): boolean =>
  /@types\/(office-js|custom-functions-runtime)\//.test(declaration.getSourceFile().fileName);

/**
 * The sets that bring a member, any one of them, by what stands beside it or the nearest thing around it that says so:
 * "[Api set: ExcelApi 1.4]" or, of what is older, "Requirement sets: CompressedFile, File".
 */
function setsOf(declaration: ts.Node): readonly Asked[] {
  for (let node = declaration; !ts.isSourceFile(node); node = node.parent) {
    const said = ts
      .getJSDocCommentsAndTags(node)
      .map((tag) => tag.getText())
      .join(" ");
    const [, set, version] = /\[Api set: (\w+) ([\d.]+)/.exec(said) ?? [];
    if (set !== undefined && version !== undefined) return [{ set, version }];
    const [, older = ""] = /\*\*Requirement sets?\*\*:([^]*?)(?:\n[ *]*\n[ *]*[^-\s*]|$)/.exec(said) ?? [];
    const named = [...older.matchAll(/\| (\w+)(?: ([\d.]+))?\}/g)];
    if (named.length > 0) return named.map(([, name = "", least = "1.1"]) => ({ set: name, version: least }));
  }
  return [];
}

interface Use {
  readonly sets: readonly Asked[];
  readonly member: string;
  readonly file: ts.SourceFile;
}

/** Every member of the host that a file uses and that belongs to a set. */
function usesIn(file: ts.SourceFile, checker: ts.TypeChecker): Use[] {
  const found: Use[] = [];
  const look = (node: ts.Node): void => {
    const member = ts.isIdentifier(node) ? checker.getSymbolAtLocation(node) : undefined;
    const declaration = member?.declarations?.find(isHosts);
    const sets = declaration === undefined ? [] : setsOf(declaration);
    if (member !== undefined && sets.length > 0)
      found.push({ sets, member: checker.getFullyQualifiedName(member), file });
    ts.forEachChild(node, look);
  };
  look(file);
  return found;
}

/** The sets that a file asks the host about; a host that gives out the workbook compressed gives it out as a File. */
const askedFor = (text: string): readonly Asked[] =>
  [...text.matchAll(/(?:isSetSupported|hostHas)\("(\w+)", "([\d.]+)"\)/g)].flatMap(
    ([, set = "", version = ""]) =>
      [set, ...(set === "CompressedFile" ? ["File"] : [])].map((name) => ({ set: name, version })),
  );

const built = program();
const sources = built.getSourceFiles().filter(({ fileName }) => fileName.startsWith(`${root}src/`));
const uses = sources.flatMap((file) => usesIn(file, built.getTypeChecker()));

/** What is used without a promise of the manifest or a question to the host, a line each. */
const unpromised = (manifestSets: readonly Asked[], asks: (text: string) => readonly Asked[]) => [
  ...new Set(
    uses
      .filter(({ sets, file }) => {
        const there = [...manifestSets, ...asks(file.text)];
        return !sets.some((one) => covers(there, one));
      })
      .map(
        ({ sets, member, file }) =>
          `${relative(root, file.fileName)} uses ${member} of ${sets.map(({ set, version }) => `${set} ${version}`).join(" or ")}`,
      ),
  ),
];

describe("every member of the host that is used", () => {
  test("is in a set that the manifest asks for, or that its file asks the host about first", () => {
    expect(unpromised(promised, askedFor)).toEqual([]);
  });

  test("is seen, those of the functions' runtime and of the older library as well", () => {
    const without = (left: string) =>
      unpromised(
        promised.filter(({ set }) => set !== left),
        askedFor,
      );
    expect(without("CustomFunctionsRuntime")).toContain(
      "src/functions/worksheet-function.ts uses CustomFunctions.Error of CustomFunctionsRuntime 1.2",
    );
    expect(without("ExcelApi").length).toBeGreaterThan(100);
    expect(unpromised(promised, () => []).join(" ")).toMatch(
      /Document\.getFileAsync of CompressedFile 1\.1 or File/,
    );
  });
});

import importX from "eslint-plugin-import-x";
import { createTypeScriptImportResolver } from "eslint-import-resolver-typescript";
import tseslint from "typescript-eslint";

/** Which room may not read which other room. Direction: pane -> workbook -> engine; functions -> engine. */
const forbidden = {
  engine: ["functions", "workbook", "pane", "workbench"],
  functions: ["workbook", "pane", "workbench"],
  workbook: ["functions", "pane", "workbench"],
  pane: ["functions", "workbench"],
  workbench: ["engine", "functions", "workbook", "pane"],
};
const zones = Object.entries(forbidden).flatMap(([target, rooms]) =>
  rooms.map((from) => ({ target: `./src/${target}`, from: `./src/${from}` })),
);
/**
 * The folders of src/workbook from the lowest to the highest, and which of those below it each may read. Every folder
 * is read through its face, its index, alone.
 */
const arrows = {
  host: [],
  formulas: ["host"],
  marks: ["host"],
  tables: ["host"],
  writing: ["host", "formulas", "marks"],
  work: ["host", "marks", "writing"],
  bid: ["host", "formulas", "tables", "writing", "work"],
  "own-sheets": ["host", "formulas", "tables", "writing", "work"],
  outlines: ["host", "marks", "writing", "work", "bid"],
  drawings: ["host", "formulas", "marks", "work", "bid", "outlines"],
  checks: ["host", "formulas", "marks", "tables", "writing", "work", "bid"],
  handover: ["host", "formulas", "marks", "writing", "work", "bid", "drawings"],
  unfinished: ["host", "marks", "work", "bid", "own-sheets", "handover"],
};
const folders = Object.keys(arrows);
const face = "./index.ts";
const workbookZones = [
  ...Object.entries(arrows).flatMap(([folder, below]) =>
    folders
      .filter((other) => other !== folder)
      .map((other) => ({
        target: `./src/workbook/${folder}`,
        from: `./src/workbook/${other}`,
        ...(below.includes(other) ? { except: [face] } : {}),
      })),
  ),
  ...folders.map((folder) => ({
    target: "./src/pane",
    from: `./src/workbook/${folder}`,
    except: [face],
  })),
];
const onlyHost = "Only src/workbook/host names Office.js; pane start-up is the one exception.";
const officeNames = ["Excel", "Office", "OfficeExtension"].map((name) => ({ name, message: onlyHost }));
/** The rule on globals does not see where one is named for a type alone. */
const officeTypes = {
  selector: "TSQualifiedName[left.name=/^(Excel|Office|OfficeExtension)$/]",
  message: onlyHost,
};

/** Not there in every engine that worksheet functions run in; what is younger than ES2015 the compiler finds. */
const browserNames = [
  "Intl",
  "globalThis",
  "window",
  "self",
  "document",
  "console",
  "setTimeout",
  "URL",
  "TextEncoder",
];
const languages = ["toLocaleString", "toLocaleUpperCase", "toLocaleLowerCase", "localeCompare"];
const message = "Some hosts run the functions in an engine without a browser and without languages.";

/** A file and a function are to be read at once, blank lines and comments counted. */
const length = (file, inFunction) => ({
  "max-lines": file === undefined ? "off" : ["error", file],
  "max-lines-per-function": inFunction === undefined ? "off" : ["error", inFunction],
});
const usual = { file: 350, inFunction: 60 };
/** What is longer, and why; where it is to become shorter, with the lines it has, so that it does not grow. */
const longer = [
  // Plans of sheets: lists of what stands where.
  { files: ["src/workbook/bid/sheets/*.ts"], file: usual.file },
  // The vocabulary of the trade: data alone.
  { files: ["src/workbook/tables/concepts.ts"], inFunction: usual.inFunction },
  // One object with a method for each operation of the algebra, each of them short.
  { files: ["src/engine/native/algebra.ts"], file: usual.file, inFunction: 181 },
  { files: ["src/engine/working/algebra.ts"], file: usual.file, inFunction: 118 },
  // A class that is made once its library is there, a method for each of its commands.
  { files: ["src/workbench/host/kept-state.ts"], file: usual.file, inFunction: 74 },
];

export default tseslint.config(
  { ignores: ["dist/**", "node_modules/**", ".stryker-tmp/**"] },
  {
    files: ["**/*.ts"],
    extends: [...tseslint.configs.recommendedTypeChecked],
    plugins: { "import-x": importX },
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    settings: {
      "import-x/parsers": { "@typescript-eslint/parser": [".ts"] },
      "import-x/resolver-next": [createTypeScriptImportResolver({ project: "./tsconfig.json" })],
    },
    rules: {
      "import-x/no-restricted-paths": ["error", { zones: [...zones, ...workbookZones] }],
      "import-x/no-cycle": "error",
      "@typescript-eslint/no-explicit-any": "error",
      "@typescript-eslint/consistent-type-imports": "error",
      eqeqeq: "error",
    },
  },
  {
    files: ["src/**/*.ts"],
    ignores: ["src/workbook/host/**", "src/pane/start.ts"],
    rules: {
      "no-restricted-globals": ["error", ...officeNames],
      "no-restricted-syntax": ["error", officeTypes],
    },
  },
  {
    files: ["src/engine/**/*.ts", "src/functions/**/*.ts"],
    ignores: ["src/functions/write-metadata.ts"],
    rules: {
      "no-restricted-globals": ["error", ...officeNames, ...browserNames.map((name) => ({ name, message }))],
      "no-restricted-properties": ["error", ...languages.map((property) => ({ property, message }))],
    },
  },
  { files: ["src/**/*.ts"], rules: length(usual.file, usual.inFunction) },
  ...longer.map(({ files, file, inFunction }) => ({ files, rules: length(file, inFunction) })),
);

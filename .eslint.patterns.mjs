/**
 * What people and their files bring is read here: no pattern may run back and forth over a long text, and no list of any
 * length is handed to a function as its arguments. Asked without types, and so apart from the other rules.
 */
import regexp from "eslint-plugin-regexp";
import tseslint from "typescript-eslint";

/** A call takes only so many arguments, which a long list spread over them passes. */
const spreadLists = ["max", "min", "push"].map((name) => ({
  selector: `CallExpression[callee.property.name="${name}"] > SpreadElement`,
  message:
    "A list of any length is no list of arguments: see greatest, least and addAll in src/engine/lists.ts.",
}));

export default tseslint.config(
  {
    files: ["src/{engine,functions,workbook,pane}/**/*.ts"],
    linterOptions: { reportUnusedDisableDirectives: "off" },
    languageOptions: { parser: tseslint.parser },
    plugins: { regexp },
    rules: {
      "regexp/no-super-linear-backtracking": ["error", { report: "potential" }],
      "regexp/no-super-linear-move": "error",
    },
  },
  {
    files: ["src/{engine,functions}/**/*.ts", "src/workbook/{outlines,own-sheets,tables}/*.ts"],
    rules: { "no-restricted-syntax": ["error", ...spreadLists] },
  },
);

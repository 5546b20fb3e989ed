import { readFileSync } from "node:fs";
import ts from "typescript";

/** The host shim as a plain script, to be served in front of the library: inside a frame, the page is the host. */
export function shimText(): string {
  const source = readFileSync(new URL("./host-shim.ts", import.meta.url), "utf8");
  const { outputText } = ts.transpileModule(source, {
    compilerOptions: { module: ts.ModuleKind.CommonJS, target: ts.ScriptTarget.ES2020 },
  });
  return `(() => { const exports = {};\n${outputText}\nexports.connectToParent(window); })();\n`;
}

/**
 * A JavaScript engine without a browser, as some desktop hosts run custom functions in: what ES2015 has, the host's own
 * global, and nothing else. Whatever is younger than that, or knows of languages and countries, is taken out of it.
 */
import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { getQuickJS } from "quickjs-emscripten";
import type { QuickJSContext } from "quickjs-emscripten";
import ts from "typescript";

const builtFunctions = fileURLToPath(new URL("../../dist/functions.js", import.meta.url));

export function functionsAsBuilt(): string {
  if (!existsSync(builtFunctions))
    throw new Error('Run "npm run build" first: the functions are tested as built.');
  return readFileSync(builtFunctions, "utf8");
}

/** The names of a global object's members, and of those of its prototype. */
type Members = Readonly<Record<string, readonly [own: readonly string[], prototype: readonly string[]]>>;

/** All that ES2015 has, as TypeScript's own library tells it; no member of it asks for a language or country. */
function membersOf2015(): Members {
  const library = createRequire(import.meta.url).resolve("typescript/lib/lib.es2015.d.ts");
  const program = ts.createProgram([library], { lib: ["lib.es2015.d.ts"], types: [] });
  const checker = program.getTypeChecker();
  const root = program.getSourceFile(library);
  const { Variable, Function, Module } = ts.SymbolFlags;
  const members = (type: ts.Type | undefined) =>
    type === undefined
      ? []
      : checker
          .getPropertiesOfType(type)
          .map(({ name }) => name)
          .filter((name) => !/locale/i.test(name));
  if (root === undefined) throw new Error("TypeScript's library of ES2015 is missing");
  return Object.fromEntries(
    checker
      .getSymbolsInScope(root, Variable | Function | Module)
      .filter(({ name }) => name !== "Intl" && name !== "globalThis")
      .map((symbol) => {
        const type = checker.getTypeOfSymbol(symbol);
        const prototype = type.getProperty("prototype");
        return [symbol.name, [members(type), members(prototype && checker.getTypeOfSymbol(prototype))]];
      }),
  );
}

/** Runs in the engine: what is not among the members is deleted, and the host's global put in place. */
const PREPARE = `(function (members, withErrors, refused) {
  var all = this;
  var always = ["length", "name", "prototype", "constructor"];
  function strip(from, kept) {
    Object.getOwnPropertyNames(from).forEach(function (name) {
      if (kept.concat(always).indexOf(name) < 0) delete from[name];
    });
  }
  Object.keys(members).forEach(function (name) {
    var one = all[name];
    if (Object(one) !== one) return;
    strip(one, members[name][0]);
    if (one.prototype !== undefined) strip(one.prototype, members[name][1]);
  });
  var registered = {};
  all.host = {
    registered: registered,
    call: function (id, given) {
      try {
        return JSON.stringify({ answer: registered[id].apply(null, given) });
      } catch (error) {
        return JSON.stringify({ refused: { own: error instanceof HostError, code: error.code, message: error.message } });
      }
    },
  };
  function HostError(code, message) {
    this.code = code;
    this.message = message;
  }
  all.CustomFunctions = {
    associate: function (id, called) {
      if (id === refused) throw new TypeError("The host does not take it.");
      registered[id] = called;
    },
  };
  if (withErrors) {
    all.CustomFunctions.Error = HostError;
    all.CustomFunctions.ErrorCode = { invalidValue: "#VALUE!", notAvailable: "#N/A" };
  }
  strip(all, Object.keys(members).concat("host", "CustomFunctions"));
})`;

export interface PlainAnswer {
  readonly answer?: unknown;
  /** What was thrown, and whether it was the host's own error. */
  readonly refused?: { readonly own: boolean; readonly code?: string; readonly message: string };
}

export class PlainEngine {
  private constructor(private readonly context: QuickJSContext) {}

  /** An engine in which the functions have been loaded as they are built. */
  static async start({ withErrors = true, refused = "" } = {}): Promise<PlainEngine> {
    const engine = new PlainEngine((await getQuickJS()).newContext());
    engine.run(`${PREPARE}(${JSON.stringify(membersOf2015())}, ${withErrors}, ${JSON.stringify(refused)})`);
    engine.run(functionsAsBuilt());
    return engine;
  }

  run(code: string): unknown {
    const result = this.context.evalCode(code);
    const handle = result.error ?? result.value;
    const value = this.context.dump(handle) as unknown;
    handle.dispose();
    if (result.error === undefined) return value;
    throw new Error(`The plain engine stopped: ${JSON.stringify(value)}`);
  }

  registered(): readonly string[] {
    return JSON.parse(String(this.run("JSON.stringify(Object.keys(host.registered))"))) as string[];
  }

  call(id: string, given: readonly unknown[]): PlainAnswer {
    return JSON.parse(
      String(this.run(`host.call(${JSON.stringify(id)}, ${JSON.stringify(given)})`)),
    ) as PlainAnswer;
  }

  stop(): void {
    this.context.dispose();
  }
}

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import vm from "node:vm";
import type { HostWindow } from "./host-shim";

const require = createRequire(import.meta.url);
const libraryFolder = join(dirname(require.resolve("@microsoft/office-js/package.json")), "dist");

/** The library finds its other files beside the script that ends in office.js; here they come from its package. */
const BASE = "https://office.test/";

interface ScriptElement {
  src: string;
  readyState?: string;
  onload?: () => void;
}

function storage() {
  const kept = new Map<string, string>();
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: unknown) => void kept.set(key, String(value)),
    removeItem: (key: string) => void kept.delete(key),
  };
}

function element() {
  return {
    style: {},
    setAttribute: () => undefined,
    appendChild: () => undefined,
    removeChild: () => undefined,
    addEventListener: () => undefined,
    getElementsByTagName: () => [],
    getBoundingClientRect: () => ({ width: 0, height: 0 }),
  };
}

const runLibraryFile = (url: string) => {
  const text = readFileSync(join(libraryFolder, url.slice(BASE.length)), "utf8");
  vm.runInThisContext(text, { filename: url });
};

function head() {
  return {
    ...element(),
    appendChild: (script: ScriptElement) => {
      setTimeout(() => {
        runLibraryFile(script.src);
        script.readyState = "complete";
        script.onload?.();
      }, 0);
    },
  };
}

function fakeDocument(url: string) {
  const byTag: Record<string, () => object[]> = {
    script: () => [{ src: `${BASE}office.js`, getAttribute: () => null }],
    head: () => [head()],
  };
  return {
    URL: url,
    readyState: "complete",
    cookie: "",
    documentElement: element(),
    body: element(),
    head: element(),
    addEventListener: () => undefined,
    createEvent: () => ({}),
    getElementById: () => null,
    querySelectorAll: () => [],
    createElement: element,
    getElementsByTagName: (tag: string) => byTag[tag]?.() ?? [element()],
  };
}

/** Gives this Node realm the few browser globals that the library looks at as it starts. */
export function becomeWindow(): HostWindow {
  const href = `${BASE}pane.html`;
  const location = {
    href,
    search: "",
    hash: "",
    protocol: "https:",
    origin: BASE.slice(0, -1),
    hostname: "office.test",
  };
  const globals = {
    window: globalThis,
    self: globalThis,
    top: globalThis,
    parent: globalThis,
    name: "",
    navigator: { userAgent: "Chrome", language: "en-US" },
    external: {},
    location,
    history: {},
    document: fakeDocument(href),
    addEventListener: () => undefined,
    removeEventListener: () => undefined,
    sessionStorage: storage(),
    localStorage: storage(),
  };
  for (const [name, value] of Object.entries(globals)) {
    Object.defineProperty(globalThis, name, { value, writable: true, configurable: true });
  }
  return globalThis;
}

export const runLibrary = () => runLibraryFile(`${BASE}office.js`);

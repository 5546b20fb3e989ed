/** What `npm run build` leaves to be published: names, policies, notices and the list, read from the files themselves. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { packagesIn } from "../../src/publish/notices";

const root = fileURLToPath(new URL("../../", import.meta.url));
const dist = join(root, "dist");
const text = (name: string) => readFileSync(join(dist, name), "utf8");

const published = readdirSync(dist, { recursive: true, encoding: "utf8" })
  .map((name) => name.replaceAll("\\", "/"))
  .filter((name) => !/^workbench(?:\/|$)/.test(name) && statSync(join(dist, name)).isFile());
const scripts = published.filter((name) => name.endsWith(".js"));
const pages = published.filter((name) => name.endsWith(".html"));

describe("what is published", () => {
  it("keeps its name where Excel or a page outside names it, and is named by its content otherwise", () => {
    const stable = published.filter((name) => !name.startsWith("parts/") && !name.startsWith("icons/"));
    expect(stable.sort()).toEqual([
      "contents.txt",
      "functions.html",
      "functions.js",
      "functions.json",
      "manifest.xml",
      "notices.html",
      "pages.css",
      "pane.html",
      "privacy.html",
      "support.html",
    ]);
    const parts = published.filter((name) => name.startsWith("parts/"));
    expect(parts.length).toBeGreaterThan(5);
    expect(parts.filter((name) => !/^parts\/(?:pane-)?[0-9a-f]{20}\.js$/.test(name))).toEqual([]);
  });

  it("holds no map and no source, and names none", () => {
    expect(published.filter((name) => /\.(?:map|ts|txt)$/.test(name) && name !== "contents.txt")).toEqual([]);
    for (const name of scripts) expect(text(name), name).not.toMatch(/sourceMappingURL|sourcesContent/);
  });

  it("holds nothing of the machine that it was built on", () => {
    for (const name of [...scripts, ...pages]) expect(text(name).includes(root), name).toBe(false);
  });

  it("has every script that a page or another script asks for", () => {
    for (const page of pages)
      for (const [, wanted = ""] of text(page).matchAll(/(?:src|href)="([^":#]+)"/g))
        expect(published, `${page} wants ${wanted}`).toContain(wanted);
    const pane = scripts.find((name) => name.startsWith("parts/pane-")) ?? "";
    const asked = [...text(pane).matchAll(/"([0-9a-f]{20})"/g)].map(([, hash]) => `parts/${hash}.js`);
    expect(asked.sort()).toEqual(scripts.filter((name) => /^parts\/[0-9a-f]/.test(name)).sort());
  });
});

describe("every page", () => {
  const policyOf = (page: string) =>
    Object.fromEntries(
      (/<meta http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(text(page))?.[1] ?? "")
        .split("; ")
        .map((rule) => [rule.split(" ")[0] ?? "", rule.split(" ").slice(1)]),
    );

  it.each(pages)(
    "%s says before anything else is loaded what it may load: from here and from Office.js's host",
    (page) => {
      const policy = policyOf(page);
      expect(policy["default-src"]).toEqual(["'none'"]);
      expect(policy["base-uri"]).toEqual(["'none'"]);
      expect(policy["form-action"]).toEqual(["'none'"]);
      const known = ["'self'", "'none'", "data:", "https://appsforoffice.microsoft.com"];
      expect(
        Object.values(policy)
          .flat()
          .filter((from) => !known.includes(from)),
      ).toEqual([]);
      for (const what of ["script-src", "connect-src", "style-src"])
        expect(policy[what] ?? []).not.toContain("data:");
      expect(policy["connect-src"] ?? ["'self'"]).toEqual(["'self'"]);
      const html = text(page);
      const first = html.search(/<(?:script|link|style|img)\b/);
      expect(html.indexOf("Content-Security-Policy")).toBeGreaterThan(0);
      if (first >= 0) expect(html.indexOf("Content-Security-Policy")).toBeLessThan(first);
    },
  );

  it.each(pages)("%s has neither script nor style of its own within it", (page) => {
    const html = text(page);
    expect(html).not.toMatch(/<script(?![^>]*\ssrc=)/);
    expect(html).not.toMatch(/<style|\sstyle=|\son\w+=/);
  });
});

describe("the notices", () => {
  const notices = text("notices.html");
  const named = new Set([...notices.matchAll(/<h2>([^<]+)<\/h2>/g)].map(([, name]) => name ?? ""));

  it("name every library of whose code something is in what is published", () => {
    const { dependencies } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as {
      dependencies: Record<string, string>;
    };
    for (const name of Object.keys(dependencies)) expect(named.has(name), name).toBe(true);
    // What these and the build brought along.
    for (const name of ["webpack", "tslib", "xmlchars", "tinyqueue"])
      expect(named.has(name), name).toBe(true);
  });

  it("name none that is used by the build, the tests or the workbench alone", () => {
    for (const name of ["@odoo/o-spreadsheet", "@odoo/owl", "typescript", "vitest", "sirv"])
      expect(named.has(name), name).toBe(false);
  });

  it("give each its version as installed and the text of its license", () => {
    for (const part of notices.split("<section>").slice(1)) {
      const name = /<h2>([^<]+)<\/h2>/.exec(part)?.[1] ?? "";
      const { version } = JSON.parse(
        readFileSync(join(root, "node_modules", name, "package.json"), "utf8"),
      ) as { version: string };
      expect(part).toContain(`<p>${version}, `);
      expect(part, name).toMatch(/Permission (?:is hereby granted|to use, copy)|Redistribution and use/);
      expect(part, name).toMatch(/copyright/i);
    }
  });

  it("are reached from help, which the pane and Excel lead to", () => {
    expect(text("support.html")).toContain('href="notices.html"');
    expect(text("manifest.xml")).toContain("/support.html");
  });

  it("find packages within packages and what the bundler adds, and nothing of our own", () => {
    const map = (...sources: string[]) => JSON.stringify({ sources });
    expect(
      packagesIn(
        map(
          "webpack://swardsheet/./src/pane/start.ts",
          "webpack://swardsheet/./node_modules/a/index.js",
          "webpack://swardsheet/./node_modules/a/node_modules/@b/c/d.js",
          "webpack://swardsheet/./node_modules/a/other.js",
          "webpack://swardsheet/webpack/runtime/load script",
        ),
      ),
    ).toEqual(["a", "@b/c", "webpack"]);
  });
});

describe("the list of what is published", () => {
  const lines = text("contents.txt").trim().split("\n").slice(1);
  const listed = lines.flatMap((line, i) => {
    const found = /^([0-9a-f]{64}) {2}(.+)$/.exec(line);
    return found ? [{ hash: found[1], path: found[2] ?? "", size: lines[i - 1] }] : [];
  });

  it("has each file once, with its size and hash", () => {
    expect(listed.map(({ path }) => path)).toEqual(
      published.filter((name) => name !== "contents.txt").sort(),
    );
    for (const { path, hash, size } of listed) {
      const content = readFileSync(join(dist, path));
      expect(hash, path).toBe(createHash("sha256").update(content).digest("hex"));
      expect(size, path).toBe(`# ${content.length} bytes`);
    }
  });
});

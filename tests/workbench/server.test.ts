/** What the server of the add-in sends: to Excel all that it asks for, to anybody else nothing. */
import { execFile } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { request } from "node:http";
import type { IncomingHttpHeaders } from "node:http";
import { createServer } from "node:net";
import type { AddressInfo } from "node:net";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { serve } from "../../src/workbench/server";
import type { Served } from "../../src/workbench/server";

const root = fileURLToPath(new URL("../../", import.meta.url));

interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly text: string;
}

/** Its content decides its name, so the page that loads it has to say it. */
function paneScript(): string {
  if (!existsSync(`${root}dist/pane.html`))
    throw new Error('Run "npm run build" first: the files are served as built.');
  const named = /<script defer src="(parts\/pane-\w+\.js)">/.exec(
    readFileSync(`${root}dist/pane.html`, "utf8"),
  );
  return `/${named?.[1] ?? "nothing"}`;
}

let served: Served;
beforeAll(async () => {
  served = await serve({ port: 0 });
});
afterAll(() => served.close());

/** Asked with a path as it stands, which fetch would tidy. */
const asked = (
  path: string,
  {
    method = "GET",
    headers = {},
    of = served,
  }: { method?: string; headers?: Record<string, string>; of?: Served } = {},
) =>
  new Promise<Answer>((resolve, reject) => {
    const { hostname, port } = new URL(of.origin);
    const sent = request(
      { hostname, port, path, method, headers, setHost: !("Host" in headers) },
      (response) => {
        let text = "";
        response.setEncoding("utf8");
        response.on("data", (part: string) => (text += part));
        response.on("end", () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
        );
      },
    );
    sent.on("error", reject);
    sent.end();
  });

describe("what the add-in loads", () => {
  test.each([
    ["/functions.js", /^(text|application)\/javascript/],
    ["/functions.json", /^application\/json/],
    ["/functions.html", /^text\/html/],
    ["/pane.html", /^text\/html/],
    [paneScript(), /^(text|application)\/javascript/],
    ["/support.html", /^text\/html/],
    ["/notices.html", /^text\/html/],
    ["/pages.css", /^text\/css/],
    ["/manifest.xml", /xml/],
    ["/icons/icon-32.png", /^image\/png/],
  ])(
    "%s may be loaded by a page from elsewhere, is what it says, and is asked for anew",
    async (path, type) => {
      for (const method of ["GET", "HEAD"]) {
        const { status, headers } = await asked(path, {
          method,
          headers: { Origin: "https://excel.example.com" },
        });
        expect(status).toBe(200);
        expect(headers["access-control-allow-origin"]).toBe("*");
        expect(headers["content-type"]).toMatch(type);
        expect(headers["cache-control"]).toMatch(/no-cache|no-store/);
        expect(headers["x-content-type-options"]).toBe("nosniff");
      }
    },
  );

  test("and what is not there says so, to a page from elsewhere as well", async () => {
    const { status, headers, text } = await asked("/nothing.js");
    expect([status, headers["access-control-allow-origin"]]).toEqual([404, "*"]);
    expect(text).toBe("There is nothing here.");
  });

  test("is allowed when a page asks first", async () => {
    const { status, headers } = await asked("/functions.json", {
      method: "OPTIONS",
      headers: {
        Origin: "https://excel.example.com",
        "Access-Control-Request-Method": "GET",
        "Access-Control-Request-Private-Network": "true",
      },
    });
    expect(status).toBe(204);
    expect(headers).toMatchObject({
      "access-control-allow-origin": "*",
      "access-control-allow-methods": "GET, HEAD",
      "access-control-allow-private-network": "true",
    });
  });
});

describe("anybody else", () => {
  test.each([
    "evil.example.com",
    "localhost.example.com",
    "localhost@example.com",
    "evil.example.com@localhost",
    "localhost/evil.example.com",
    "localhost#.evil.example.com",
    "localhost?.evil.example.com",
    "localhost\\evil.example.com",
    "localhost.",
    "127.0.0.1.nip.io",
    "127.0.0.2",
    "0.0.0.0",
    "192.168.0.7:3000",
    "",
    "bad host",
    "[::2]",
  ])("who calls this machine %j gets nothing", async (host) => {
    const { status, headers, text } = await asked("/functions.js", { headers: { Host: host } });
    // The library itself refuses a name that is none.
    expect([400, 421]).toContain(status);
    expect(headers["access-control-allow-origin"]).toBeUndefined();
    expect(text).not.toContain("SEED_WEIGHT");
    if (status === 421)
      expect(text).toBe("This server answers only by its own names: localhost, 127.0.0.1, [::1].");
  });

  test("who calls it by a name of its own that it was told gets what he asked for, and no other does", async () => {
    const named = await serve({ port: 0, names: ["addins.example.com"] });
    const at = (host: string) => asked("/functions.js", { headers: { Host: host }, of: named });
    expect((await at("addins.example.com")).status).toBe(200);
    expect((await at("localhost")).status).toBe(200);
    expect((await at("other.example.com")).status).toBe(421);
    await named.close();
  });

  test.each(["localhost", "localhost:3000", "127.0.0.1:3000", "[::1]:3000", "LOCALHOST"])(
    "%s is this machine",
    async (host) => expect((await asked("/functions.js", { headers: { Host: host } })).status).toBe(200),
  );

  test.each([
    "/../package.json",
    "/%2e%2e/package.json",
    "/..%2fpackage.json",
    "/icons/../../package.json",
    "/..\\package.json",
    "/..%5cpackage.json",
    "/%2e%2e%5c%2e%2e%5cpackage.json",
    "/office/../../package.json",
    "/office/%2e%2e/package.json",
    "/workbench/maps/../../../package.json",
    "/%252e%252e/package.json",
    "//package.json",
    "http://localhost/../package.json",
    "/package.json%00.html",
    "/%",
  ])("%s leads nowhere", async (path) => {
    const { status, text } = await asked(path);
    expect([400, 404]).toContain(status);
    expect(text).not.toContain("swardsheet");
  });

  test.each(["POST", "PUT", "DELETE", "PATCH", "TRACE", "PROPFIND"])("%s is refused", async (method) => {
    const { status, headers } = await asked("/functions.json", { method });
    expect([status, headers.allow]).toEqual([405, "GET, HEAD, OPTIONS"]);
  });
});

describe("a browser is told", () => {
  test("where the map of a script is, which is not among what is published", async () => {
    for (const path of ["/functions.js", paneScript()]) {
      const { headers, text } = await asked(path);
      expect(headers.sourcemap).toBe(`/workbench/maps${path}.map`);
      expect((await asked(`/workbench/maps${path}.map`)).status).toBe(200);
      expect(text).not.toContain("sourceMappingURL");
      expect((await asked(`${path}.map`)).status).toBe(404);
    }
  });

  test("that the workbench stands in no frame of another page", async () => {
    const { headers } = await asked("/workbench/");
    expect(headers["content-security-policy"]).toBe("frame-ancestors 'self'");
  });
});

describe("a port in use", () => {
  test("is an error with a sentence, and no other port is taken", async () => {
    const { port } = new URL(served.origin);
    await expect(serve({ port: Number(port) })).rejects.toThrow(
      `Port ${port} is in use, and Excel looks for the add-in at no other: end the program that uses it, or choose another ` +
        `port with SWARDSHEET_ORIGIN=https://localhost:${Number(port) + 1}, and start again.`,
    );
  });

  test("ends the program with that sentence and nothing else", async () => {
    // The port of the built manifest, held by somebody else where nobody holds it yet.
    const other = createServer();
    const held = await new Promise<boolean>((resolve) => {
      other.once("error", () => resolve(false));
      other.listen(3000, "localhost", () => resolve(true));
    });
    const { port } = held ? (other.address() as AddressInfo) : { port: 3000 };
    const ended = await new Promise<{ code: unknown; told: string }>((resolve) => {
      execFile(
        process.execPath,
        ["--import", "tsx", "src/workbench/server.ts"],
        { cwd: root },
        (error, out, told) => resolve({ code: error?.code, told: out + told }),
      );
    });
    if (held) other.close();
    expect(ended.code).toBe(1);
    expect(ended.told.trim()).toMatch(new RegExp(`^Port ${port} is in use, .* and start again\\.$`));
  });
});

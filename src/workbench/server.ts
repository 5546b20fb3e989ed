import { spawn } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { IncomingMessage, RequestListener, ServerResponse } from "node:http";
import { createServer as createSecureServer } from "node:https";
import { createRequire } from "node:module";
import type { AddressInfo } from "node:net";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import sirv from "sirv";
import { shimText } from "./office/shim-text";

export interface ServeOptions {
  /** The manifest names the port, so no other may be taken for it; 0 lets the system choose, for a test. */
  port?: number;
  tls?: { key: string | Buffer; cert: string | Buffer };
  /** Names beside those of this machine by which it may be asked, such as one that a server in front passes on. */
  names?: readonly string[];
}

export interface Served {
  origin: string;
  close(): Promise<void>;
}

const require = createRequire(import.meta.url);
const packageFolder = (name: string) => dirname(require.resolve(`${name}/package.json`));
const here = fileURLToPath(new URL(".", import.meta.url));
const dist = join(here, "../../dist");
const officeFolder = join(packageFolder("@microsoft/office-js"), "dist");
// The package of owl does not let its package.json be resolved, so its main file shows where it is.
const owlFolder = dirname(require.resolve("@odoo/owl"));
const spreadsheetFolder = dirname(require.resolve("@odoo/o-spreadsheet"));

/** What a page cannot say of itself, as it says the rest of its policy: who may show it in a frame. */
const FRAMED_AT_HOME = "frame-ancestors 'self'";

const USUAL_PORT = 3000;

/** Names of this machine alone: a page elsewhere that points a name of its own here gets no answer. */
const OWN_NAMES = ["localhost", "127.0.0.1", "[::1]"];

/** What a server of the add-in must send: Excel on the web loads from a page of its own, and keeps what it may. */
const FOR_EXCEL = {
  "Access-Control-Allow-Origin": "*",
  "Cache-Control": "no-cache",
  "X-Content-Type-Options": "nosniff",
};

/** Serves the built files, the workbench and the unmodified libraries it needs, on this machine only. */
export async function serve({ port = USUAL_PORT, tls, names = [] }: ServeOptions = {}): Promise<Served> {
  const listener = guarded(listenerFor(), [...OWN_NAMES, ...names]);
  const server = tls ? createSecureServer(tls, listener) : createServer(listener);
  await listen(server, port);
  const { port: taken } = server.address() as AddressInfo;
  return {
    origin: `${tls ? "https" : "http"}://localhost:${taken}`,
    close: () =>
      new Promise((resolve, reject) => {
        server.close((error) => (error ? reject(error) : resolve()));
        server.closeAllConnections();
      }),
  };
}

type Server = ReturnType<typeof createServer>;

/** Said to who starts the server, without a trace of where in the program it was noticed. */
class CannotServe extends Error {}

const inUse = (port: number): string =>
  `Port ${port} is in use, and Excel looks for the add-in at no other: end the program that uses it, ` +
  `or choose another port with SWARDSHEET_ORIGIN=https://localhost:${port + 1}, and start again.`;

function listen(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) => {
      reject(error.code === "EADDRINUSE" ? new CannotServe(inUse(port)) : error);
    });
    server.listen(port, "localhost", resolve);
  });
}

type Handler = (request: IncomingMessage, response: ServerResponse, next: () => void) => void;

/** A folder's files under a path; asked for anything else, it passes on. */
function folder(path: string, directory: string): Handler {
  const files = sirv(directory, { dev: true, etag: true });
  return (request, response, next) => {
    if (!request.url?.startsWith(`${path}/`)) return next();
    const asked = request.url;
    request.url = asked.slice(path.length);
    files(request, response, () => {
      request.url = asked;
      next();
    });
  };
}

/** One file under a path, made anew for every request. */
function file(path: string, type: string, text: () => string): Handler {
  return (request, response, next) => {
    if (pathOf(request) !== path) return next();
    response.writeHead(200, { "Content-Type": type });
    response.end(text());
  };
}

/** The name that the server was asked by: nothing where there is more than a name and a port. */
function hostOf({ headers: { host = "" } }: IncomingMessage): string {
  const address = `http://${host}`;
  return /^[\w.:[\]-]+$/.test(host) && URL.canParse(address) ? new URL(address).hostname : "";
}

/** Whether a path stays below the folders it is looked for in. */
function staysInside(path: string): boolean {
  try {
    return !decodeURIComponent(path).split(/[\\/]/).includes("..");
  } catch {
    return false;
  }
}

function say(response: ServerResponse, status: number, sentence: string): void {
  response.writeHead(status, { "Content-Type": "text/plain; charset=utf-8" });
  response.end(sentence);
}

/** Only its own names, only reading, and what Excel needs to be told on every answer. */
function guarded(listener: RequestListener, names: readonly string[]): RequestListener {
  return (request, response) => {
    if (!names.includes(hostOf(request))) {
      return say(response, 421, `This server answers only by its own names: ${names.join(", ")}.`);
    }
    for (const [name, value] of Object.entries(FOR_EXCEL)) response.setHeader(name, value);
    if (request.method === "OPTIONS") {
      response.setHeader("Access-Control-Allow-Methods", "GET, HEAD");
      // A page from elsewhere asks first whether it may look at this machine at all.
      response.setHeader("Access-Control-Allow-Private-Network", "true");
      response.writeHead(204);
      return response.end();
    }
    if (request.method !== "GET" && request.method !== "HEAD") {
      response.setHeader("Allow", "GET, HEAD, OPTIONS");
      return say(response, 405, "Files are only read here.");
    }
    if (!staysInside(pathOf(request))) return say(response, 400, "This is no path to a file.");
    return listener(request, response);
  };
}

const pathOf = ({ url = "/" }: IncomingMessage): string => url.split("?")[0] ?? "/";

/** A script that was built is told where its map is, which stands apart from what is published. */
const withMap: Handler = (request, response, next) => {
  const map = `/workbench/maps${pathOf(request)}.map`;
  if (existsSync(join(dist, map))) response.setHeader("SourceMap", map);
  next();
};

function listenerFor(): RequestListener {
  const shim = shimText();
  const library = join(officeFolder, "office.js");
  const handlers: Handler[] = [
    file("/office/office.js", "text/javascript", () => shim + readFileSync(library, "utf8")),
    folder("/office", officeFolder),
    folder("/vendor/o-spreadsheet", spreadsheetFolder),
    folder("/vendor/owl", owlFolder),
    file("/workbench/page.css", "text/css", () => readFileSync(join(here, "page.css"), "utf8")),
    withMap,
    folder("", dist),
    redirect("/", "/workbench/"),
    redirect("/workbench", "/workbench/"),
    // The pane's links lead to what lies beside it where it is published.
    redirect("/workbench/support.html", "/support.html"),
  ];
  return (request, response) => {
    if (request.url?.startsWith("/workbench/")) response.setHeader("Content-Security-Policy", FRAMED_AT_HOME);
    const pass = (index: number) => {
      const handler = handlers[index];
      if (handler) handler(request, response, () => pass(index + 1));
      else missing(request, response);
    };
    pass(0);
  };
}

function redirect(from: string, to: string): Handler {
  return (request, response, next) => {
    if (pathOf(request) !== from) return next();
    response.writeHead(302, { Location: to });
    response.end();
  };
}

function missing(request: IncomingMessage, response: ServerResponse): void {
  const built = pathOf(request).startsWith("/workbench/") ? ' Run "npm run build" first.' : "";
  say(response, 404, `There is nothing here.${built}`);
}

/** Opens an address with the platform's own opener; where there is none, the printed address has to do. */
function openInBrowser(address: string): void {
  const [command, ...before] = {
    darwin: ["open"],
    win32: ["cmd", "/c", "start", ""],
  }[process.platform as string] ?? ["xdg-open"];
  const opener = spawn(command ?? "", [...before, address], { stdio: "ignore", detached: true });
  opener.on("error", () => undefined);
  opener.unref();
}

async function main(given: readonly string[]): Promise<void> {
  const secure = given.includes("--https");
  const { port, names } = ofManifest();
  const { origin } = await serve({ port, names, ...(secure && { tls: await developmentCertificate() }) });
  const address = `${origin}/workbench/`;
  console.log(address);
  if (given.includes("--open")) openInBrowser(address);
}

/** The name and, on this machine, the port by which the built manifest has Excel ask for the add-in. */
function ofManifest(): { port: number; names: readonly string[] } {
  const built = join(dist, "manifest.xml");
  if (!existsSync(built)) throw new CannotServe('Nothing is built yet: run "npm run build" first.');
  const address = /"(https:[^"]*)\/functions\.js"/.exec(readFileSync(built, "utf8"))?.[1];
  const { hostname, port } = new URL(address ?? "https://localhost");
  const isThisMachine = hostname === "localhost";
  return {
    port: isThisMachine && port ? Number(port) : USUAL_PORT,
    names: isThisMachine ? [] : [hostname],
  };
}

/** The certificate that the host trusts for add-ins under development. */
async function developmentCertificate() {
  const { getHttpsServerOptions } = await import("office-addin-dev-certs");
  try {
    const { key, cert } = await getHttpsServerOptions();
    return { key, cert };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new CannotServe(
      `There is no certificate for localhost that this machine trusts (${why.trim()}): run "npx office-addin-dev-certs install", confirm it, and start again.`,
    );
  }
}

const startedDirectly = process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href;
if (startedDirectly) {
  try {
    await main(process.argv.slice(2));
  } catch (error) {
    if (!(error instanceof CannotServe)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}

import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
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
  /** The port wished for; the next free one is taken where it is in use. 0 lets the system choose. */
  port?: number;
  tls?: { key: string | Buffer; cert: string | Buffer };
}

export interface Served {
  origin: string;
  close(): Promise<void>;
}

const require = createRequire(import.meta.url);
const packageFolder = (name: string) => dirname(require.resolve(`${name}/package.json`));
const here = fileURLToPath(new URL(".", import.meta.url));
const officeFolder = join(packageFolder("@microsoft/office-js"), "dist");
// The package of owl does not let its package.json be resolved, so its main file shows where it is.
const owlFolder = dirname(require.resolve("@odoo/owl"));
const spreadsheetFolder = dirname(require.resolve("@odoo/o-spreadsheet"));

/** The workbench loads nothing from elsewhere and sends nothing anywhere. */
const AT_HOME =
  "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; " +
  "img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; frame-src 'self'";

const TRIES = 20;

/** Serves the built files, the workbench and the unmodified libraries it needs, on this machine only. */
export async function serve({ port = 3000, tls }: ServeOptions = {}): Promise<Served> {
  const listener = listenerFor();
  const server = tls ? createSecureServer(tls, listener) : createServer(listener);
  await listen(server, port, port === 0 ? 1 : TRIES);
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

function listen(server: Server, port: number, tries: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) => {
      if (error.code === "EADDRINUSE" && tries > 1) listen(server, port + 1, tries - 1).then(resolve, reject);
      else reject(error);
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
    response.writeHead(200, { "Content-Type": type, "Cache-Control": "no-cache" });
    response.end(text());
  };
}

const pathOf = ({ url = "/" }: IncomingMessage) => url.split("?")[0];

function listenerFor(): RequestListener {
  const shim = shimText();
  const library = join(officeFolder, "office.js");
  const handlers: Handler[] = [
    file("/office/office.js", "text/javascript", () => shim + readFileSync(library, "utf8")),
    folder("/office", officeFolder),
    folder("/vendor/o-spreadsheet", spreadsheetFolder),
    folder("/vendor/owl", owlFolder),
    file("/workbench/page.css", "text/css", () => readFileSync(join(here, "page.css"), "utf8")),
    folder("", join(here, "../../dist")),
    redirect("/", "/workbench/"),
    redirect("/workbench", "/workbench/"),
  ];
  return (request, response) => {
    if (request.url?.startsWith("/workbench/")) response.setHeader("Content-Security-Policy", AT_HOME);
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
  const built = pathOf(request)?.startsWith("/workbench/") ? ' Run "npm run build" first.' : "";
  response.writeHead(404, { "Content-Type": "text/plain; charset=utf-8" });
  response.end(`There is nothing here.${built}`);
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
  const options: ServeOptions = secure ? { tls: await developmentCertificate() } : {};
  const { origin } = await serve(options);
  const address = `${origin}/workbench/`;
  console.log(address);
  if (given.includes("--open")) openInBrowser(address);
}

/** The certificate that the host trusts for add-ins under development. */
async function developmentCertificate() {
  const { getHttpsServerOptions } = await import("office-addin-dev-certs");
  const { key, cert } = await getHttpsServerOptions();
  return { key, cert };
}

const startedDirectly = process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href;
if (startedDirectly) await main(process.argv.slice(2));

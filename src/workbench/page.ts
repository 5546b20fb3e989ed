import type * as Owl from "@odoo/owl";
import { registerFunctions } from "./functions/register";
import { blankAs } from "./functions/marshal";
import { harshnessFrom } from "./host/harshness";
import { LateAnswers } from "./host/late-answers";
import { manifestSets } from "./host/manifest-sets";
import { HostSession, newWorkbook } from "./host/session";
import type { Spreadsheet } from "./host/spreadsheet";
import { makeDivider } from "./page/divider";
import { FrameHost } from "./page/frame-host";
import { goRoundWithF6 } from "./page/regions";
import { SpreadsheetView } from "./page/spreadsheet-view";
import type { RequirementSets } from "./office/host-shim";
import { Workbench } from "./workbench";
import type { XlsxCodec } from "./workbench";
import { readXlsx, UnreadableFile } from "./xlsx/read";
import { writeXlsx } from "./xlsx/write";

declare global {
  interface Window {
    owl: typeof Owl;
    o_spreadsheet: Spreadsheet;
    /** The open workbook, for tests and for curious people at the console. */
    workbench?: Workbench;
    /** The requirement sets that the host reports to the pane, where they are not those of a current Excel. */
    requirementSets?: RequirementSets;
  }
}

const XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
const PANE_WIDTH = 350;
const paneAddress = "/workbench/pane.html";

const browserXlsx: XlsxCodec = {
  write: writeXlsx,
  async read(session, bytes) {
    await Promise.resolve(readXlsx(session, bytes));
  },
};

const query = new URLSearchParams(location.search);
const byId = <Kind extends HTMLElement>(id: string) => document.getElementById(id) as Kind;

function tell(sentence: string): void {
  byId("message").textContent = sentence;
}

/** One line that says what this is and where to begin. */
function tellWhereToBegin(isSample: boolean): void {
  byId("about").textContent = isSample
    ? "A stand-in for Excel with an invented job: change a boxed cell on Site, such as the 4200 ft² of the back lawn, and the price on Bid follows. F6 goes to the add-in's pane."
    : "A stand-in for Excel. F6 goes to the add-in's pane: choose Bid there for a bid of your own, or Your sheets to add figures to a table of your own.";
}

async function fetched(path: string): Promise<Response> {
  const response = await fetch(path);
  if (!response.ok) throw new Error(`${path} is not there (${response.status}).`);
  return response;
}

/** How harsh the host is: the address says it. */
const harshness = harshnessFrom(query);

async function loadFunctions(library: Spreadsheet, answers: LateAnswers): Promise<void> {
  try {
    const [script, metadata] = await Promise.all([
      fetched("/functions.js").then((response) => response.text()),
      fetched("/functions.json").then((response) => response.json() as Promise<unknown>),
    ]);
    registerFunctions(library, { script, metadata }, () => blankAs[harshness.blanks], answers);
  } catch (reason) {
    tell(`The worksheet functions could not be loaded: ${said(reason)} Run "npm run build" and reload.`);
  }
}

const said = (reason: unknown) => (reason instanceof Error ? reason.message : String(reason));

async function start(): Promise<void> {
  const library = window.o_spreadsheet;
  const answers: LateAnswers = new LateAnswers(harshness.answers, () => session.book.model);
  await loadFunctions(library, answers);
  if (harshness.manifestSets) {
    window.requirementSets = manifestSets(await (await fetched("/manifest.xml")).text());
  }
  const templates = await (await fetched("/vendor/o-spreadsheet/o_spreadsheet.xml")).text();
  const view = new SpreadsheetView({
    owl: window.owl,
    library,
    templates,
    place: byId("spreadsheet"),
    tell,
  });
  const pane = byId<HTMLIFrameElement>("pane");
  const openPane = (address = paneAddress) => (pane.src = address);
  const frame = new FrameHost(pane, (text) => session.receive(text));
  const session: HostSession = new HostSession(
    {
      library,
      harshness,
      answers,
      send: (text) => frame.send(text),
      selectionChanged: () => frame.selectionChanged(),
      replaced: () => {
        void view.show(session.book);
        // Another workbook has a pane of its own.
        openPane();
        tellWhereToBegin(false);
      },
    },
    newWorkbook(),
  );
  const workbench = new Workbench(session, browserXlsx);
  goRoundWithF6(pane, byId("open"));
  makeDivider(byId("divider"), pane, Number(query.get("pane")) || PANE_WIDTH);
  await view.show(session.book);
  connectButtons(workbench);
  const wished = query.get("open");
  const isSample = !wished && !query.has("empty");
  tellWhereToBegin(isSample);
  if (wished) await openAddress(workbench, wished);
  else openPane(isSample ? `${paneAddress}?sample` : paneAddress);
  window.workbench = workbench;
}

async function open(workbench: Workbench, bytes: ArrayBuffer, name: string): Promise<void> {
  try {
    await workbench.importXlsx(new Uint8Array(bytes));
    tell(`${name} is open.`);
  } catch (reason) {
    if (!(reason instanceof UnreadableFile)) throw reason;
    tell(reason.message);
  }
}

async function openAddress(workbench: Workbench, path: string): Promise<void> {
  const address = new URL(path, location.origin);
  if (address.origin !== location.origin || !address.pathname.endsWith(".xlsx")) {
    tell("Only an .xlsx file of this same address can be opened from the address bar.");
    return;
  }
  const response = await fetched(address.href);
  await open(workbench, await response.arrayBuffer(), address.pathname.split("/").at(-1) ?? "The file");
}

function connectButtons(workbench: Workbench): void {
  const file = byId<HTMLInputElement>("file");
  const on = (id: string, act: () => void | Promise<void>) =>
    byId(id).addEventListener("click", () => {
      Promise.resolve(act()).catch((reason: unknown) => tell(said(reason)));
    });
  on("open", () => file.click());
  on("download", async () => {
    download(await workbench.exportXlsx());
    tell("The workbook has been handed to your downloads.");
  });
  on("new", () => {
    if (!window.confirm("Start a new workbook? What is not downloaded is lost.")) return;
    workbench.reset();
    tell("A new workbook is open.");
  });
  file.addEventListener("change", () => {
    const chosen = file.files?.[0];
    file.value = "";
    if (!chosen) return;
    chosen
      .arrayBuffer()
      .then((bytes) => open(workbench, bytes, chosen.name))
      .catch((reason: unknown) => tell(said(reason)));
  });
}

function download(bytes: Uint8Array): void {
  const address = URL.createObjectURL(new Blob([new Uint8Array(bytes)], { type: XLSX }));
  const link = document.createElement("a");
  link.href = address;
  link.download = "workbook.xlsx";
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

start().catch((reason: unknown) => tell(`The workbench could not start: ${said(reason)}`));

import { readFileSync } from "node:fs";
import { registerFunctions } from "./functions/register";
import type { FunctionsSource } from "./functions/register";
import { blankAs } from "./functions/marshal";
import type { Harshness } from "./host/harshness";
import { harsh, kind } from "./host/harshness";
import { LateAnswers } from "./host/late-answers";
import { manifestSets } from "./host/manifest-sets";
import { HostSession, newWorkbook } from "./host/session";
import type { SheetSetup } from "./host/session";
import { installHost } from "./office/host-shim";
import { loadSpreadsheet } from "./office/load-spreadsheet";
import { becomeWindow, runLibrary } from "./office/node-realm";
import { Workbench } from "./workbench";
import { nodeXlsx } from "./xlsx/node";

export type { Harshness } from "./host/harshness";
export { Workbench } from "./workbench";

const MANIFEST = new URL("../../manifest.xml", import.meta.url);

export interface WorkbenchOptions {
  functions?: FunctionsSource;
  /** All switches at once, or some of them. */
  harshness?: "kind" | "harsh" | Partial<Harshness>;
  sheets?: readonly SheetSetup[];
  /** Makes the library refuse members beyond the requirement sets the host reports. */
  enforceRequirementSets?: boolean;
}

interface LibraryGlobals {
  Office: { onReady(): Promise<unknown> };
  OfficeExtension: { CommonUtility: { _doApiNotSupportedCheck: boolean } };
}

let started: Promise<Workbench> | undefined;

/**
 * Runs the real Office.js in this Node realm beside a spreadsheet without a screen. Afterwards the globals
 * `Office`, `Excel` and `OfficeExtension` work. A realm has room for one; start again with `reset()`.
 */
export function startWorkbench(options: WorkbenchOptions = {}): Promise<Workbench> {
  if (started) throw new Error("The workbench already runs in this process; call its reset() instead.");
  started = start(options);
  return started;
}

async function start(options: WorkbenchOptions): Promise<Workbench> {
  silenceTimings();
  const library = loadSpreadsheet();
  const { functions } = options;
  const harshness = wished(options.harshness);
  const answers: LateAnswers = new LateAnswers(harshness.answers, () => session.book.model);
  if (functions) registerFunctions(library, functions, () => blankAs[harshness.blanks], answers);
  const session: HostSession = new HostSession(
    {
      library,
      harshness,
      answers,
      send: (text) => setImmediate(() => link.deliver(text)),
      selectionChanged: () => setImmediate(() => link.selectionChanged()),
    },
    newWorkbook(options.sheets),
  );
  const sets = harshness.manifestSets ? manifestSets(readFileSync(MANIFEST, "utf8")) : undefined;
  const workbench = new Workbench(session, nodeXlsx);
  const link = installHost(becomeWindow(), {
    send: (text) => session.receive(text),
    file: () => workbench.exportXlsx(),
    sets,
  });
  runLibrary();
  const realm = globalThis as unknown as LibraryGlobals;
  await realm.Office.onReady();
  realm.OfficeExtension.CommonUtility._doApiNotSupportedCheck = options.enforceRequirementSets ?? false;
  return workbench;
}

function wished(asked: WorkbenchOptions["harshness"] = "kind"): Harshness {
  if (typeof asked === "object") return { ...kind, ...asked };
  return asked === "harsh" ? harsh : kind;
}

/** The spreadsheet reports its own timings with console.debug, which nobody here asked for. */
function silenceTimings(): void {
  console.debug = () => undefined;
}

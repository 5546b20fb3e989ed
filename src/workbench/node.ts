import { registerFunctions } from "./functions/register";
import type { FunctionsSource } from "./functions/register";
import type { BlankAs } from "./functions/marshal";
import { HostSession, newWorkbook } from "./host/session";
import type { SheetSetup } from "./host/session";
import { installHost } from "./office/host-shim";
import { loadSpreadsheet } from "./office/load-spreadsheet";
import { becomeWindow, runLibrary } from "./office/node-realm";
import { Workbench } from "./workbench";
import { nodeXlsx } from "./xlsx/node";

export { Workbench } from "./workbench";

export interface WorkbenchOptions {
  functions?: FunctionsSource;
  blankAs?: BlankAs;
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
  const { functions, blankAs = null } = options;
  if (functions) registerFunctions(library, functions, () => blankAs);
  const session = new HostSession(
    {
      library,
      send: (text) => setImmediate(() => link.deliver(text)),
      selectionChanged: () => setImmediate(() => link.selectionChanged()),
    },
    newWorkbook(options.sheets),
  );
  const link = installHost(becomeWindow(), (text) => session.bridge.receive(text));
  runLibrary();
  const realm = globalThis as unknown as LibraryGlobals;
  await realm.Office.onReady();
  realm.OfficeExtension.CommonUtility._doApiNotSupportedCheck = options.enforceRequirementSets ?? false;
  return new Workbench(session, nodeXlsx);
}

/** The spreadsheet reports its own timings with console.debug, which nobody here asked for. */
function silenceTimings(): void {
  console.debug = () => undefined;
}

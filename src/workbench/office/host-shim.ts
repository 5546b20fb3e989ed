/**
 * The two globals by which office.js knows that it runs inside Excel. They must exist before the library runs.
 * This file is also served as a plain script in front of the library, so it imports nothing.
 */

/** The requirement sets the host reports, as of a current desktop Excel, unless it is told others. */
const REQUIREMENT_SETS: RequirementSets = {
  ExcelApi: "1.17",
  // Where the pinned library looks for the members that have since become part of 1.17.
  ExcelApiOnline: "1.1",
  SharedRuntime: "1.2",
  CustomFunctionsRuntime: "1.5",
  CustomFunctions: "1.9",
  RibbonApi: "1.2",
  KeyboardShortcuts: "1.1",
  DialogApi: "1.2",
  DialogOrigin: "1.1",
  Settings: "1.1",
  RichApiRuntime: "1.2",
};

export type RequirementSets = Readonly<Record<string, string>>;

interface NativeBridge {
  sendMessageToHost(text: string): void;
  onMessageFromHost?(text: string): void;
}

export interface HostWindow {
  external: object;
  _richApiNativeBridge?: NativeBridge;
}

export interface HostLink {
  /** Gives a message of the host to the library. */
  deliver(text: string): void;
  /** Fires the document-wide selection event. */
  selectionChanged(): void;
}

type Handler = (eventId: number, payload: unknown[]) => void;
type Callback = (result: unknown) => void;

/** The document-wide event "selection changed". */
const SELECTION_CHANGED = 2;

export function installHost(
  target: HostWindow,
  send: (text: string) => void,
  sets: RequirementSets = REQUIREMENT_SETS,
): HostLink {
  const handlers = new Map<number, Handler>();
  let settings: Record<string, unknown> = {};
  const context = {
    GetAppType: () => 1,
    GetSolutionRef: () => "workbench",
    GetAppVersionMajor: () => 16,
    GetAppVersionMinor: () => 1,
    GetAppUILocale: () => 1033,
    GetAppDataLocale: () => 1033,
    GetDocUrl: () => "Book1.xlsx",
    GetAppCapabilities: () => 0,
    GetActivationMode: () => 2,
    GetControlIntegrationLevel: () => 1,
    GetSolutionToken: () => "",
    GetCorrelationId: () => "",
    GetInstanceId: () => "1",
    GetTouchEnabled: () => false,
    GetCommerceAllowed: () => false,
    GetHostCustomMessage: () => "",
    GetHostFullVersion: () => "16.0.18000.20000",
    GetInitialDisplayMode: () => 2,
    GetSupportedMatrix: () => JSON.stringify(sets),
    GetOfficeThemeInfo: () => JSON.stringify({}),
    GetSettings: () => ({
      Read(keys: string[], values: unknown[]) {
        for (const [key, value] of Object.entries(settings)) {
          keys.push(key);
          values.push(value);
        }
      },
      Write(keys: string[], values: unknown[]) {
        settings = Object.fromEntries(keys.map((key, index) => [key, values[index]]));
      },
    }),
  };
  const host = {
    GetContext: () => context,
    GetHostInfo: () => "Excel$Win32$16.01$en-US$telemetry$$disableLogging$1",
    GetLoggingAllowed: () => false,
    Execute: (_id: number, _parameters: unknown, done?: Callback) => done?.([0, 0]),
    RegisterEvent: (id: number, _target: string, handler: Handler, done?: Callback) => {
      handlers.set(id, handler);
      done?.(0);
    },
    UnregisterEvent: (id: number, _target: string, done?: Callback) => {
      handlers.delete(id);
      done?.(0);
    },
  };
  Object.assign(target.external, host);
  const bridge: NativeBridge = { sendMessageToHost: send };
  target._richApiNativeBridge = bridge;
  return {
    deliver: (text) => bridge.onMessageFromHost?.(text),
    selectionChanged: () => handlers.get(SELECTION_CHANGED)?.(SELECTION_CHANGED, []),
  };
}

interface FrameWindow extends HostWindow {
  parent: { postMessage(message: unknown, origin: string): void; requirementSets?: RequirementSets };
  location: { origin: string };
  addEventListener(type: "message", listener: (event: { origin: string; data: unknown }) => void): void;
}

/** Inside the pane's frame, the host is the page around it. */
export function connectToParent(frame: FrameWindow): void {
  const { origin } = frame.location;
  const send = (toHost: string) => frame.parent.postMessage({ toHost }, origin);
  const link = installHost(frame, send, frame.parent.requirementSets);
  frame.addEventListener("message", (event) => {
    if (event.origin !== origin) return;
    const { fromHost, selectionChanged } = event.data as { fromHost?: string; selectionChanged?: boolean };
    if (fromHost !== undefined) link.deliver(fromHost);
    if (selectionChanged) link.selectionChanged();
  });
}

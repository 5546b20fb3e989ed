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

/** What a host that gives out its file has beside them. */
const FILE_SETS: RequirementSets = { CompressedFile: "1.1" };

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

/** Gives the open workbook's file. */
export type DocumentFile = () => Promise<Uint8Array>;

type Handler = (eventId: number, payload: unknown[]) => void;
type Callback = (result: unknown) => void;
type Answer = (...parameters: never[]) => unknown[] | Promise<unknown[]>;
type Answers = Record<number, Answer>;

/** The document-wide event "selection changed". */
const SELECTION_CHANGED = 2;

/** The calls by which the library asks for the document's file: to begin, for a piece of it, and to end. */
const [GET_FILE, GET_SLICE, CLOSE_FILE] = [77, 80, 81] as const;
/** The kind of file that is the workbook itself. */
const COMPRESSED = 5;
/** As many files as Excel keeps in its memory for an add-in. */
const FILES_AT_ONCE = 2;

const DONE = 0;
const FAILED = { fileType: 1009, internal: 5001, tooManyFiles: 11000 } as const;

/** Each answers with a status and, where it is done, with what was asked for. */
function fileAnswers(file: DocumentFile): Answers {
  const open = new Map<number, Uint8Array>();
  let last = 0;
  return {
    [GET_FILE]: async (kind: number) => {
      if (kind !== COMPRESSED) return [FAILED.fileType];
      if (open.size >= FILES_AT_ONCE) return [FAILED.tooManyFiles];
      const bytes = await file();
      open.set(++last, bytes);
      return [DONE, last, bytes.length];
    },
    [GET_SLICE]: (handle: number, from: number, size: number) => {
      const data = open.get(handle)?.subarray(from, from + size);
      return data ? [DONE, [...data], data.length] : [FAILED.internal];
    },
    [CLOSE_FILE]: (handle: number) => [open.delete(handle) ? DONE : FAILED.internal],
  };
}

/** The answer as the library takes one: an array that is still the host's own. */
async function answered(answer: Answer, parameters: never[]): Promise<{ toArray(): unknown[] }> {
  const given = await Promise.resolve(answer(...parameters)).catch(() => [FAILED.internal]);
  return { toArray: () => given };
}

interface HostOptions {
  readonly send: (text: string) => void;
  /** Left out, the host gives out no file. */
  readonly file?: DocumentFile;
  readonly sets?: RequirementSets | undefined;
}

/** What the host says of itself and of the document. */
function contextWith(sets: RequirementSets) {
  let settings: Record<string, unknown> = {};
  return {
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
}

export function installHost(target: HostWindow, { send, file, ...options }: HostOptions): HostLink {
  const sets = options.sets ?? { ...REQUIREMENT_SETS, ...(file && FILE_SETS) };
  const answers = file ? fileAnswers(file) : {};
  const handlers = new Map<number, Handler>();
  const context = contextWith(sets);
  const host = {
    GetContext: () => context,
    GetHostInfo: () => "Excel$Win32$16.01$en-US$telemetry$$disableLogging$1",
    GetLoggingAllowed: () => false,
    Execute: (id: number, parameters: never[], done?: Callback) => {
      const answer = answers[id];
      if (answer) void answered(answer, parameters).then((given) => done?.(given));
      else done?.([0, 0]);
    },
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
  parent: {
    postMessage(message: unknown, origin: string): void;
    requirementSets?: RequirementSets;
    workbench?: { exportXlsx: DocumentFile };
  };
  location: { origin: string };
  addEventListener(type: "message", listener: (event: { origin: string; data: unknown }) => void): void;
}

/** Inside the pane's frame, the host is the page around it. */
export function connectToParent(frame: FrameWindow): void {
  const { origin } = frame.location;
  const send = (toHost: string) => frame.parent.postMessage({ toHost }, origin);
  const { parent } = frame;
  const file = async () => {
    if (!parent.workbench) throw new Error("No workbook is open yet.");
    return parent.workbench.exportXlsx();
  };
  const link = installHost(frame, { send, file, sets: parent.requirementSets });
  frame.addEventListener("message", (event) => {
    if (event.origin !== origin) return;
    const { fromHost, selectionChanged } = event.data as { fromHost?: string; selectionChanged?: boolean };
    if (fromHost !== undefined) link.deliver(fromHost);
    if (selectionChanged) link.selectionChanged();
  });
}

import type { Spreadsheet, WorkbookData } from "./spreadsheet";

/** Runs the work in `custom.batch.run`, so that everything it dispatches becomes one undo step. */
export const RUN_BATCH = "RUN_HOST_BATCH";
/** Brings calculated values up to date in the middle of a batch. */
export const SETTLE = "SETTLE_HOST_VALUES";
/** Keeps what the spreadsheet has no place for, with undo. */
export const KEEP_STATE = "KEEP_HOST_STATE";

export interface BatchSlot {
  run: (() => void) | null;
}

export type HostState = Readonly<Record<string, unknown>>;

/** The commands that the spreadsheet knows and those of the plug-ins below, which its types do not name. */
interface HostCommand {
  type: string;
  key?: string;
  value?: unknown;
}

type KeepingData = WorkbookData & { hostState?: Record<string, unknown> };

interface StateHistory {
  update(property: "entries", key: string, value: unknown): void;
}

const registered = new WeakSet<object>();

/** Adds the host's three plug-ins to a spreadsheet library, once. */
export function registerPlugins(library: Spreadsheet): void {
  if (registered.has(library)) return;
  registered.add(library);
  const { corePluginRegistry, coreViewsPluginRegistry, featurePluginRegistry, inverseCommandRegistry } =
    library.registries;

  class BatchPlugin extends library.UIPlugin {
    private readonly slot: BatchSlot | undefined;

    constructor(config: ConstructorParameters<typeof library.UIPlugin>[0]) {
      super(config);
      this.slot = (config.custom as { batch?: BatchSlot }).batch;
    }

    override handle(command: HostCommand): void {
      if (command.type !== RUN_BATCH || !this.slot) return;
      const { run } = this.slot;
      this.slot.run = null;
      run?.();
    }
  }
  featurePluginRegistry.add("host_batch", BatchPlugin);

  class StatePlugin extends library.CorePlugin {
    static override getters = ["getHostState"] as const;
    private readonly entries: Record<string, unknown> = {};

    override handle(command: HostCommand): void {
      if (command.type !== KEEP_STATE || command.key === undefined) return;
      (this.history as unknown as StateHistory).update("entries", command.key, command.value);
    }

    getHostState(): HostState {
      return this.entries;
    }

    override import(data: KeepingData): void {
      Object.assign(this.entries, data.hostState);
    }

    override export(data: KeepingData): void {
      data.hostState = { ...this.entries };
    }
  }
  corePluginRegistry.add("host_state", StatePlugin);
  (library.coreTypes as Set<string>).add(KEEP_STATE);
  // Undo asks what a command turns into where it is taken back under later ones: nothing depends on this one.
  inverseCommandRegistry.add(KEEP_STATE, (command) => [command]);

  const Evaluation = coreViewsPluginRegistry.get("evaluation");
  class SettlingEvaluation extends Evaluation {
    override handle(command: Parameters<InstanceType<typeof Evaluation>["handle"]>[0]): void {
      super.handle(command);
      if ((command as HostCommand).type === SETTLE) this.finalize();
    }
  }
  coreViewsPluginRegistry.replace("evaluation", SettlingEvaluation);
}

/** A batch as one undo step, and the undo stack that some hosts empty with it. */
import type { HostCommand } from "./host-command";
import type { Spreadsheet } from "./spreadsheet";

/** Runs the work in `custom.batch.run`, so that everything it dispatches becomes one undo step. */
export const RUN_BATCH = "RUN_HOST_BATCH";

export interface BatchSlot {
  run: (() => void) | null;
  /** Set while an add-in's batch runs that empties the undo stack. */
  emptiesUndo: boolean;
}

interface UndoInside {
  undoStack: string[];
  onNewLocalStateUpdate(update: unknown): void;
}

type PluginConfig = ConstructorParameters<Spreadsheet["UIPlugin"]>[0];

const slotIn = ({ custom }: PluginConfig): BatchSlot | undefined => (custom as { batch?: BatchSlot }).batch;

function batching(library: Spreadsheet) {
  return class BatchPlugin extends library.UIPlugin {
    private readonly slot: BatchSlot | undefined;

    constructor(config: PluginConfig) {
      super(config);
      this.slot = slotIn(config);
    }

    override handle(command: HostCommand): void {
      if (command.type !== RUN_BATCH || !this.slot) return;
      const { run } = this.slot;
      this.slot.run = null;
      run?.();
    }
  };
}

function emptied(History: Spreadsheet["UIPlugin"]) {
  const { prototype } = History as unknown as { prototype: UndoInside };
  return class EmptiedHistory extends History {
    private readonly slot: BatchSlot | undefined;

    constructor(config: PluginConfig) {
      super(config);
      this.slot = slotIn(config);
    }

    onNewLocalStateUpdate(update: unknown): void {
      prototype.onNewLocalStateUpdate.call(this, update);
      if (this.slot?.emptiesUndo) (this as unknown as UndoInside).undoStack = [];
    }
  };
}

export function registerBatches(library: Spreadsheet): void {
  const { featurePluginRegistry } = library.registries;
  featurePluginRegistry.add("host_batch", batching(library));
}

export function registerHistory(library: Spreadsheet): void {
  const { featurePluginRegistry } = library.registries;
  const History = featurePluginRegistry.get("history") as typeof library.UIPlugin;
  featurePluginRegistry.replace("history", emptied(History));
}

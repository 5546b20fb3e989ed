import { registerEntering } from "./entering";
import { freeName, nameKey } from "./kept-names";
import type { KeptName } from "./kept-names";
import type { Position, Spreadsheet, WorkbookData, Zone } from "./spreadsheet";

/** Runs the work in `custom.batch.run`, so that everything it dispatches becomes one undo step. */
export const RUN_BATCH = "RUN_HOST_BATCH";
/** Brings calculated values up to date in the middle of a batch. */
export const SETTLE = "SETTLE_HOST_VALUES";
/** Keeps what the spreadsheet has no place for, with undo. */
export const KEEP_STATE = "KEEP_HOST_STATE";

/** Before the names of an add-in's settings: kept as well, but no undo reaches them. */
export const SETTING = "setting/";

export interface BatchSlot {
  run: (() => void) | null;
  /** Set while an add-in's batch runs that empties the undo stack. */
  emptiesUndo: boolean;
}

/** How the workbook calculates at present. */
export interface CalculationSlot {
  readonly isManual: boolean;
  /** Something was edited that manual calculation has not followed. */
  isStale: boolean;
  /** A file is being written: the spreadsheet asks for everything to be worked out once more, which it is. */
  isSaved: boolean;
  /** Values are worked out once somebody reads them, and not after every batch. */
  readonly isOnDemand: boolean;
  /** Works out what is owed by then, where anything is. */
  owed: (() => void) | undefined;
}

export type HostState = Readonly<Record<string, unknown>>;

/** The commands that the spreadsheet knows and those of the plug-ins below, which its types do not name. */
interface HostCommand {
  type: string;
  key?: string;
  value?: unknown;
  cellIds?: readonly number[];
  name?: string;
  oldRangeName?: string;
  newRangeName?: string;
  sheetId?: string;
  sheetIdTo?: string;
}

type KeepingData = WorkbookData & { hostState?: Record<string, unknown> };

/** The parts of the spreadsheet's evaluation that its types do not name. */
interface EvaluationInside {
  shouldRebuildDependenciesGraph: boolean;
  positionsToUpdate: Position[];
  evaluator: {
    evaluate(ranges: { sheetId: string; zone: Zone }[]): void;
    evaluateCells(positions: Position[]): void;
  };
}

interface UndoInside {
  undoStack: string[];
  onNewLocalStateUpdate(update: unknown): void;
}

interface StateHistory {
  update(property: "entries", key: string, value: unknown): void;
}

const registered = new WeakSet<object>();

/** Adds the host's plug-ins to a spreadsheet library, once. */
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
    static override getters = ["getHostState", "getHostSettings"] as const;
    private readonly entries: Record<string, unknown> = {};
    private readonly settings = new Map<string, unknown>();

    override handle(command: HostCommand): void {
      const { type, key, value, name, oldRangeName, newRangeName, sheetId, sheetIdTo } = command;
      if (type === KEEP_STATE && key !== undefined) this.put(key, value);
      if (type === "DELETE_NAMED_RANGE" && name !== undefined) this.put(nameKey(name), undefined);
      if (type === "UPDATE_NAMED_RANGE" && oldRangeName !== undefined && newRangeName !== undefined)
        this.renameName(oldRangeName, newRangeName);
      if (type === "DUPLICATE_SHEET" && sheetId !== undefined && sheetIdTo !== undefined)
        this.copyNames(sheetId, sheetIdTo);
    }

    private put(key: string, value: unknown): void {
      (this.history as unknown as StateHistory).update("entries", key, value);
    }

    private renameName(from: string, to: string): void {
      const kept = this.entries[nameKey(from)] as KeptName | undefined;
      if (kept === undefined || nameKey(from) === nameKey(to)) return;
      this.put(nameKey(from), undefined);
      this.put(nameKey(to), { ...kept, shown: undefined });
    }

    /** A sheet's names come along with a copy of it, those of its own cells for the cells of the copy. */
    private copyNames(from: string, to: string): void {
      for (const { name, range } of this.getters.getNamedRanges()) {
        const kept = this.entries[nameKey(name)] as KeptName | undefined;
        if (kept?.scope !== from) continue;
        const shown = kept.shown ?? name;
        const inner = freeName(shown, (other) => this.getters.getNamedRange(other) !== undefined);
        const home = range.sheetId === from ? to : range.sheetId;
        const ranges = [this.getters.getRangeDataFromZone(home, range.zone)];
        this.dispatch("CREATE_NAMED_RANGE", { name: inner, ranges });
        this.put(nameKey(inner), { ...kept, scope: to, shown });
      }
    }

    getHostState(): HostState {
      return this.entries;
    }

    getHostSettings(): Map<string, unknown> {
      return this.settings;
    }

    override import(data: KeepingData): void {
      for (const [key, value] of Object.entries(data.hostState ?? {}))
        if (key.startsWith(SETTING)) this.settings.set(key, value);
        else this.entries[key] = value;
    }

    override export(data: KeepingData): void {
      data.hostState = { ...this.entries, ...Object.fromEntries(this.settings) };
    }
  }
  corePluginRegistry.add("host_state", StatePlugin);
  (library.coreTypes as Set<string>).add(KEEP_STATE);
  // Undo asks what a command turns into where it is taken back under later ones: nothing depends on this one.
  inverseCommandRegistry.add(KEEP_STATE, (command) => [command]);

  const Evaluation = coreViewsPluginRegistry.get("evaluation");
  class SettlingEvaluation extends Evaluation {
    private readonly calculation: CalculationSlot | undefined;

    constructor(config: ConstructorParameters<typeof Evaluation>[0]) {
      super(config);
      this.calculation = (config.custom as { calculation?: CalculationSlot }).calculation;
    }

    private get inside(): EvaluationInside {
      return this as unknown as EvaluationInside;
    }

    override handle(command: Parameters<InstanceType<typeof Evaluation>["handle"]>[0]): void {
      const { type, cellIds } = command as HostCommand;
      if (type === "EVALUATE_CELLS" && this.calculation?.isSaved) return;
      if (type === "EVALUATE_CELLS" && cellIds && this.calculation?.isManual) this.evaluateAsked(cellIds);
      else super.handle(command);
      if (type === SETTLE) this.workOut();
    }

    /** Answers that come later are followed, whatever the calculation is set to. */
    private evaluateAsked(cellIds: readonly number[]): void {
      const positions = cellIds.map((id) => this.getters.getCellPosition(id));
      this.inside.evaluator.evaluateCells(positions);
    }

    override finalize(): void {
      const { calculation } = this;
      const { positionsToUpdate, shouldRebuildDependenciesGraph } = this.inside;
      if (!calculation?.isOnDemand || calculation.isManual) this.workOut();
      else if (shouldRebuildDependenciesGraph || positionsToUpdate.length)
        calculation.owed = () => this.workOut();
    }

    /** What was typed shows at once; what hangs on it waits. Only what moves or adds cells is followed. */
    private workOut(): void {
      if (this.calculation) this.calculation.owed = undefined;
      const { calculation } = this;
      const { positionsToUpdate, shouldRebuildDependenciesGraph, evaluator } = this.inside;
      if (!calculation?.isManual || shouldRebuildDependenciesGraph) return super.finalize();
      this.inside.positionsToUpdate = [];
      if (!positionsToUpdate.length) return;
      evaluator.evaluate(
        positionsToUpdate.map(({ sheetId, col, row }) => ({
          sheetId,
          zone: { left: col, right: col, top: row, bottom: row },
        })),
      );
      calculation.isStale = true;
    }
  }
  coreViewsPluginRegistry.replace("evaluation", SettlingEvaluation);
  registerEntering(library);

  const History = featurePluginRegistry.get("history") as typeof library.UIPlugin;
  const { prototype } = History as unknown as { prototype: UndoInside };
  class EmptiedHistory extends History {
    private readonly slot: BatchSlot | undefined;

    constructor(config: ConstructorParameters<typeof library.UIPlugin>[0]) {
      super(config);
      this.slot = (config.custom as { batch?: BatchSlot }).batch;
    }

    onNewLocalStateUpdate(update: unknown): void {
      prototype.onNewLocalStateUpdate.call(this, update);
      if (this.slot?.emptiesUndo) (this as unknown as UndoInside).undoStack = [];
    }
  }
  featurePluginRegistry.replace("history", EmptiedHistory);
}

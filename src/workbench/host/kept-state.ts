/** What the spreadsheet has no place for, kept in the workbook beside it. */
import type { HostCommand } from "./host-command";
import { freeName, nameKey } from "./kept-names";
import type { KeptName } from "./kept-names";
import { withOtherNames } from "./names-in-formulas";
import type { Spreadsheet, WorkbookData } from "./spreadsheet";

/** Keeps what the spreadsheet has no place for, with undo. */
export const KEEP_STATE = "KEEP_HOST_STATE";

/** Before the names of an add-in's settings: kept as well, but no undo reaches them. */
export const SETTING = "setting/";

export type HostState = Readonly<Record<string, unknown>>;

type KeepingData = WorkbookData & { hostState?: Record<string, unknown> };

interface StateHistory {
  update(property: "entries", key: string, value: unknown): void;
}

function keepingState(library: Spreadsheet) {
  return class StatePlugin extends library.CorePlugin {
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
      const copied = new Map<string, string>();
      for (const { name, range } of this.getters.getNamedRanges()) {
        const kept = this.entries[nameKey(name)] as KeptName | undefined;
        if (kept?.scope !== from) continue;
        const shown = kept.shown ?? name;
        const inner = freeName(shown, (other) => this.getters.getNamedRange(other) !== undefined);
        const home = range.sheetId === from ? to : range.sheetId;
        const ranges = [this.getters.getRangeDataFromZone(home, range.zone)];
        this.dispatch("CREATE_NAMED_RANGE", { name: inner, ranges });
        this.put(nameKey(inner), { ...kept, scope: to, shown });
        copied.set(name.toLowerCase(), inner);
      }
      if (copied.size > 0) this.meanNames(to, copied);
    }

    /** The formulas of a copy mean its own names. */
    private meanNames(sheetId: string, names: ReadonlyMap<string, string>): void {
      for (const cell of this.getters.getCells(sheetId)) {
        if (!cell.isFormula) continue;
        const content = cell.compiledFormula.toFormulaString(this.getters);
        const own = withOtherNames(content, names);
        if (own !== content)
          this.dispatch("UPDATE_CELL", { ...this.getters.getCellPosition(cell.id), content: own });
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
  };
}

export function registerKeptState(library: Spreadsheet): void {
  const { corePluginRegistry, inverseCommandRegistry } = library.registries;
  corePluginRegistry.add("host_state", keepingState(library));
  (library.coreTypes as Set<string>).add(KEEP_STATE);
  // Undo asks what a command turns into where it is taken back under later ones: nothing depends on this one.
  inverseCommandRegistry.add(KEEP_STATE, (command) => [command]);
}

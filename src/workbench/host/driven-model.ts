import { HostError, invalidArgument } from "../protocol/host-error";
import type { Harshness, Situation } from "./harshness";
import { kind, undisturbed } from "./harshness";
import { KEEP_STATE, SETTING } from "./kept-state";
import type { HostState } from "./kept-state";
import { registerPlugins } from "./plugins";
import { SETTLE } from "./settling";
import type { CalculationSlot } from "./settling";
import { RUN_BATCH } from "./undo-batch";
import type { BatchSlot } from "./undo-batch";
import type { DispatchResult, Getters, Model, Spreadsheet } from "./spreadsheet";

/** The spreadsheet's dispatch, as it takes commands that its types do not name. */
interface Dispatcher {
  dispatch(type: string, payload: object): DispatchResult;
}

/** Where the calculation mode is kept. */
export const CALCULATION_MODE = "calculationMode";
export const MANUAL = "Manual";

/** Outcomes that mean "it is already so", or that the cell lies under a merge and keeps nothing. */
const NOTHING_TO_DO = new Set(["NoChanges", "ValuesNotChanged", "UnchangedSheetName", "CellIsMerged"]);

/** The spreadsheet's model as the host drives it: its commands, undo steps and calculation, and what is kept beside it. */
export abstract class DrivenModel {
  readonly model: Model;
  private readonly batch: BatchSlot = { run: null, emptiesUndo: false };
  readonly calculation: CalculationSlot;
  private isMade = false;
  private insideBatch = false;
  private unsettled = false;

  constructor(
    readonly library: Spreadsheet,
    data: object,
    readonly harshness: Harshness = kind,
    situation: Situation = undisturbed,
  ) {
    registerPlugins(library);
    const { batch } = this;
    // The model works everything out as it is made, before it can be asked for anything.
    const isManual = () => this.isMade && this.calculationMode === MANUAL;
    this.calculation = {
      get isManual() {
        return isManual();
      },
      isStale: false,
      isSaved: false,
      get isOnDemand() {
        return situation.worksOutWhenRead;
      },
      owed: undefined,
    };
    this.model = new library.Model(data, { custom: { batch, calculation: this.calculation } });
    this.isMade = true;
  }

  get getters(): Getters {
    return this.model.getters;
  }

  /** Dispatches a command and reports a refusal; a command that would change nothing is none. */
  abstract run(type: string, payload?: object): void;

  /** Does the work as one undo step, whatever it dispatches. */
  asOneStep<Result>(work: () => Result): Result {
    if (this.insideBatch) return work();
    const outcome: { result?: { value: Result }; failure?: { reason: unknown } } = {};
    this.batch.run = () => {
      try {
        outcome.result = { value: work() };
      } catch (reason) {
        outcome.failure = { reason };
      }
    };
    this.insideBatch = true;
    try {
      this.dispatch(RUN_BATCH);
    } finally {
      this.insideBatch = false;
      this.unsettled = false;
      this.batch.run = null;
    }
    if (outcome.failure) throw outcome.failure.reason;
    if (!outcome.result) throw new HostError("GeneralException", "The spreadsheet refused the batch.", 500);
    return outcome.result.value;
  }

  /** A batch of an add-in. */
  asBatch<Result>(work: () => Result): Result {
    this.batch.emptiesUndo = this.harshness.noUndo;
    try {
      return this.asOneStep(work);
    } finally {
      this.batch.emptiesUndo = false;
    }
  }

  /** Dispatches what the host itself does, protected or not. */
  protected force(type: string, payload: object): void {
    const result = this.dispatch(type, payload);
    this.unsettled = this.insideBatch;
    const refused = result.reasons.filter((reason) => !NOTHING_TO_DO.has(reason));
    if (refused.length) throw invalidArgument(`the spreadsheet refused ${type}: ${refused.join(", ")}`);
  }

  private dispatch(type: string, payload: object = {}): DispatchResult {
    const dispatcher = this.model as unknown as Dispatcher;
    return dispatcher.dispatch(type, payload);
  }

  /** Brings calculated values up to date where a batch has changed something since. */
  settle(): void {
    this.calculation.owed?.();
    if (!this.unsettled) return;
    this.unsettled = false;
    this.dispatch(SETTLE);
  }

  // What the spreadsheet has no place for

  private get state(): HostState {
    return (this.model.getters as unknown as { getHostState(): HostState }).getHostState();
  }

  private get settings(): Map<string, unknown> {
    const getters = this.model.getters as unknown as { getHostSettings(): Map<string, unknown> };
    return getters.getHostSettings();
  }

  kept(key: string): unknown {
    return key.startsWith(SETTING) ? this.settings.get(key) : this.state[key];
  }

  keptUnder(prefix: string): [string, unknown][] {
    const { state } = this;
    const found: [string, unknown][] = [];
    // Asked for at every name that is added, among thousands of keys.
    for (const key of Object.keys(state))
      if (key.startsWith(prefix) && state[key] !== undefined)
        found.push([key.slice(prefix.length), state[key]]);
    for (const [key, value] of this.settings)
      if (key.startsWith(prefix) && value !== undefined) found.push([key.slice(prefix.length), value]);
    return found;
  }

  /** Works everything out anew, whatever the calculation is set to. */
  calculate(): void {
    this.calculation.isStale = false;
    this.force("EVALUATE_CELLS", {});
  }

  get calculationMode(): string {
    const kept = this.kept(CALCULATION_MODE) as string | undefined;
    return kept ?? (this.harshness.manualCalculation ? MANUAL : "Automatic");
  }

  set calculationMode(mode: string) {
    this.keep(CALCULATION_MODE, mode);
    if (this.calculation.isStale && mode !== MANUAL) this.calculate();
  }

  keep(key: string, value: unknown): void {
    if (key.startsWith(SETTING)) this.settings.set(key, value);
    else this.run(KEEP_STATE, { key, value });
  }

  /** Why the last entry was refused, in the words of the limit on its cell; told once. */
  takeRefusal(): string | undefined {
    return (this.model.getters as unknown as { takeRefusal(): string | undefined }).takeRefusal();
  }
}

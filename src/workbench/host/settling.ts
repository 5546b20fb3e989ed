/** When the workbook works its values out. */
import type { HostCommand } from "./host-command";
import type { Position, Spreadsheet, Zone } from "./spreadsheet";

/** Brings calculated values up to date in the middle of a batch. */
export const SETTLE = "SETTLE_HOST_VALUES";

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

/** The parts of the spreadsheet's evaluation that its types do not name. */
interface EvaluationInside {
  shouldRebuildDependenciesGraph: boolean;
  positionsToUpdate: Position[];
  evaluator: {
    evaluate(ranges: { sheetId: string; zone: Zone }[]): void;
    evaluateCells(positions: Position[]): void;
  };
}

type EvaluationClass = ReturnType<Spreadsheet["registries"]["coreViewsPluginRegistry"]["get"]>;

function settling(Evaluation: EvaluationClass) {
  return class SettlingEvaluation extends Evaluation {
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
  };
}

export function registerSettling(library: Spreadsheet): void {
  const { coreViewsPluginRegistry } = library.registries;
  coreViewsPluginRegistry.replace("evaluation", settling(coreViewsPluginRegistry.get("evaluation")));
}

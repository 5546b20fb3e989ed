/**
 * Typing, pasting and erasing as the host does it. What is typed into a cell with a limit is judged itself, not what the
 * cell holds still, and is refused with the limit's own message; what is pasted is not judged.
 */
import type { KeptValidation } from "./validation-rule";
import { keptIn, TYPED_CELL } from "./validation-rule";
import type { Getters, Position, Spreadsheet } from "./spreadsheet";
import type { CellValue } from "./values";
import { TEXT_FORMAT, withoutMark } from "./values";

type Rule = NonNullable<ReturnType<Getters["getValidationRuleForCell"]>>;

/** What the host says of an entry that a limit without a message of its own refuses. */
const NO_MESSAGE = "This value doesn't match the data validation restrictions defined for this cell.";

interface JudgingGetters {
  asIfEntered<Result>(position: Position, value: CellValue | null, work: () => Result): Result;
}

/** The members of the spreadsheet's own plug-ins that are built on, which its types keep to themselves. */
interface Judge {
  readonly getters: JudgingGetters;
  getValidationResultForCell(position: Position): object;
  getRuleErrorForCellValue(value: CellValue | null, position: Position, rule: Rule): string | undefined;
}

interface Evaluating {
  readonly evaluator: {
    readonly evaluatedCells: {
      get(position: Position): object | undefined;
      set(position: Position, cell: object): void;
      delete(position: Position): void;
    };
    computeCell(position: Position): object;
  };
}

interface EvaluationClass {
  readonly getters: readonly string[];
  new (...given: unknown[]): Evaluating;
}

interface JudgeClass {
  readonly getters: readonly string[];
  new (...given: unknown[]): Judge;
}

type PluginClass = Parameters<Spreadsheet["registries"]["coreViewsPluginRegistry"]["replace"]>[1];

interface Command {
  type: string;
}

/** A cell on the clipboard; one that comes from another program has no place. */
interface Clipped {
  content: string;
  position?: Position;
}

interface CellPaste {
  dispatch(type: string, command: object): void;
  pasteCell(origin: Clipped, target: Position, options?: object): void;
}

type CellPasteClass = new (...given: unknown[]) => CellPaste;

export function registerEntering(library: Spreadsheet): void {
  tryValues(library);
  keepTexts(library);
  judgeEntries(library);
  keepLimitsOnErasing(library);
  keepLooksUnderText(library);
}

/** Text from another program takes the look of the cells that it is pasted into. */
function keepLooksUnderText(library: Spreadsheet): void {
  const { cellHandlers } = library.registries.clipboardHandlersRegistries;
  const Theirs = cellHandlers.get("cell") as unknown as CellPasteClass;
  class TextPaste extends Theirs {
    override pasteCell(origin: Clipped, target: Position, options?: object): void {
      if (origin.position) super.pasteCell(origin, target, options);
      else this.dispatch("UPDATE_CELL", { ...target, content: origin.content });
    }
  }
  cellHandlers.replace("cell", TextPaste as unknown as Parameters<typeof cellHandlers.replace>[1]);
}

/** Lets a value be tried in its cell, for the formulas that judge it. */
function tryValues({ registries }: Spreadsheet): void {
  const { coreViewsPluginRegistry, functionRegistry } = registries;
  const Evaluation = coreViewsPluginRegistry.get("evaluation") as unknown as EvaluationClass;
  class TryingEvaluation extends Evaluation {
    static override readonly getters = [...Evaluation.getters, "asIfEntered"];

    /** Does the work while a cell shows a value that it does not hold yet. */
    asIfEntered<Result>(position: Position, value: CellValue | null, work: () => Result): Result {
      const { evaluatedCells } = this.evaluator;
      const before = evaluatedCells.get(position);
      const type = value === null ? "empty" : typeof value === "string" ? "text" : typeof value;
      evaluatedCells.set(position, { value, type, formattedValue: String(value ?? ""), position });
      try {
        return work();
      } finally {
        if (before) evaluatedCells.set(position, before);
        else evaluatedCells.delete(position);
      }
    }
  }
  coreViewsPluginRegistry.replace("evaluation", TryingEvaluation as unknown as PluginClass);
  functionRegistry.replace(TYPED_CELL, {
    description: "",
    hidden: true,
    args: [],
    compute() {
      const { __originCellPosition: position } = this;
      return position ? this.getters.getEvaluatedCell(position) : { value: null };
    },
  });
}

/** What a cell formatted as text holds is text for whoever refers to it, be it spelt as a formula or as an error. */
function keepTexts({ registries: { coreViewsPluginRegistry } }: Spreadsheet): void {
  const Evaluation = coreViewsPluginRegistry.get("evaluation") as unknown as EvaluationClass;
  class TextEvaluation extends Evaluation {
    declare readonly getters: Getters;

    constructor(...given: unknown[]) {
      super(...given);
      const { evaluator } = this;
      const compute = evaluator.computeCell.bind(evaluator);
      evaluator.computeCell = (position) => {
        const cell = this.getters.getCell(position);
        if (!cell || cell.isFormula || cell.format !== TEXT_FORMAT || cell.content === "")
          return compute(position);
        const value = withoutMark(cell.content);
        const looks = { formattedValue: value, defaultAlign: "left", isAutoSummable: true };
        return { value, type: "text", format: TEXT_FORMAT, ...looks, position };
      };
    }
  }
  coreViewsPluginRegistry.replace("evaluation", TextEvaluation as unknown as PluginClass);
}

function judgeEntries({ registries: { coreViewsPluginRegistry } }: Spreadsheet): void {
  const Theirs = coreViewsPluginRegistry.get("data_validation_ui") as unknown as JudgeClass;
  class HostValidation extends Theirs {
    static override readonly getters = [...Theirs.getters, "takeRefusal"];
    private refusal: string | undefined;

    /** How a cell is marked for what it holds, which refuses nobody's entry. */
    override getValidationResultForCell(position: Position): object {
      const { refusal } = this;
      const result = super.getValidationResultForCell(position);
      this.refusal = refusal;
      return result;
    }

    override getRuleErrorForCellValue(
      value: CellValue | null,
      position: Position,
      rule: Rule,
    ): string | undefined {
      const kept = keptIn(rule);
      if (kept?.ignoreBlanks && (value === null || value === "")) return undefined;
      const error = this.getters.asIfEntered(position, value, () =>
        kept?.rule.list && !isRange(kept)
          ? listError(kept, value)
          : super.getRuleErrorForCellValue(value, position, rule),
      );
      if (error === undefined || kept === null) return error;
      this.refusal = kept.errorAlert.message || NO_MESSAGE;
      return this.refusal;
    }

    /** Why the last entry was refused, told once. */
    takeRefusal(): string | undefined {
      const { refusal } = this;
      this.refusal = undefined;
      return refusal;
    }
  }
  coreViewsPluginRegistry.replace("data_validation_ui", HostValidation as unknown as PluginClass);
}

/** Emptying a cell leaves its limit where it is. */
function keepLimitsOnErasing({ registries: { corePluginRegistry } }: Spreadsheet): void {
  const Rules = corePluginRegistry.get("dataValidation");
  class HostRules extends Rules {
    override handle(command: Parameters<InstanceType<typeof Rules>["handle"]>[0]): void {
      if ((command as Command).type !== "DELETE_CONTENT") super.handle(command);
    }
  }
  corePluginRegistry.replace("dataValidation", HostRules);
}

const isRange = ({ rule }: KeptValidation): boolean => String(rule.list?.source).startsWith("=");

/** A list that is written into the limit minds capitals, unlike one that stands in cells. */
function listError({ rule }: KeptValidation, value: CellValue | null): string | undefined {
  const choices = String(rule.list?.source)
    .split(",")
    .map((choice) => choice.trim());
  return choices.includes(String(value ?? "")) ? undefined : NO_MESSAGE;
}

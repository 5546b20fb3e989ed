import { invalidArgument } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { MANUAL } from "./driven-model";
import type { LateAnswers } from "./late-answers";

const MODES = ["Automatic", "AutomaticExceptTables", MANUAL];

export class Application implements WireObject {
  readonly $type = "Application";
  readonly $scalars = ["CalculationMode", "CalculationState"];

  constructor(
    private readonly book: Book,
    private readonly answers: LateAnswers | undefined,
  ) {}

  get CalculationState(): string {
    if (this.answers?.isBusy) return "Calculating";
    return this.book.calculation.isStale ? "Pending" : "Done";
  }

  get CalculationMode(): string {
    return this.book.calculationMode;
  }

  set CalculationMode(mode: string) {
    if (!MODES.includes(mode)) throw invalidArgument(`"${mode}" is no calculation mode`);
    this.book.calculationMode = mode;
  }

  Calculate(): void {
    this.book.calculate();
  }

  SuspendScreenUpdatingUntilNextSync(): void {
    // A batch is drawn once, at its end, so there is nothing to suspend.
  }
}

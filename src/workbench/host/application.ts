import { invalidArgument } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import type { Book } from "./book";

const MODES = ["Automatic", "AutomaticExceptTables", "Manual"];

export class Application implements WireObject {
  readonly $type = "Application";
  readonly $scalars = ["CalculationMode", "CalculationState"];
  readonly CalculationState = "Done";

  constructor(private readonly book: Book) {}

  /** Kept and answered; the spreadsheet itself always calculates at once. */
  get CalculationMode(): string {
    return (this.book.kept("calculationMode") as string | undefined) ?? "Automatic";
  }

  set CalculationMode(mode: string) {
    if (!MODES.includes(mode)) throw invalidArgument(`"${mode}" is no calculation mode`);
    this.book.keep("calculationMode", mode);
  }

  Calculate(): void {
    this.book.run("EVALUATE_CELLS");
  }

  SuspendScreenUpdatingUntilNextSync(): void {
    // A batch is drawn once, at its end, so there is nothing to suspend.
  }
}

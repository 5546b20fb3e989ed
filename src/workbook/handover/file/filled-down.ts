/**
 * Formulas that are one formula filled down get what was found for the first of them: what was worked out for two, and
 * was the same apart from where they stand, is not worked out again.
 */
import { cellAddress } from "../../host";
import type { PlannedInput, SheetPlan } from "../plan";
import type { FileCell } from "./cell-store";
import type { FileKnowledge } from "./file-knowledge";
import type { Shape } from "./shape";
import { shapeKey, shapeOf, standingIn } from "./shape";

/** What is planned for one cell that becomes one formula. */
interface OneFormula {
  readonly written: Shape;
  readonly inputs: readonly { readonly input: PlannedInput; readonly reference: Shape }[];
  readonly unchecked: SheetPlan["unchecked"];
}

type Known = { readonly formula: OneFormula; readonly isSure: boolean } | "each by itself";

const nothing: SheetPlan = { conversions: [], inputs: [], asValues: [], unchecked: [], stopped: [] };

const samePlan = (a: SheetPlan, b: SheetPlan): boolean => {
  const told = ({ conversions, inputs, asValues, unchecked, stopped }: SheetPlan): string =>
    JSON.stringify([
      conversions,
      inputs.map(({ home, input: { position, reference } }) => [home, position, reference]),
      asValues,
      unchecked,
      stopped,
    ]);
  return told(a) === told(b);
};

export class FilledDown {
  private readonly known = new Map<string, Known>();

  constructor(
    private readonly sheet: string,
    private readonly knowledge: FileKnowledge,
    private readonly workOut: (cell: FileCell) => SheetPlan,
    private readonly spills: (formula: string) => boolean,
  ) {}

  plan(cell: FileCell): SheetPlan {
    const shape = shapeOf(cell.formula, cell);
    if (shape === undefined) return this.workOut(cell);
    const computed = shape.reads.map(({ sheet, block }) =>
      this.knowledge.isWorkedOut(sheet ?? this.sheet, block) ? "1" : "0",
    );
    const key = `${computed.join("")}\u0005${shapeKey(shape)}`;
    const known = this.known.get(key);
    const expected =
      known === undefined || known === "each by itself" ? undefined : this.from(known.formula, cell);
    if (known !== undefined && known !== "each by itself" && known.isSure && expected !== undefined)
      return expected;
    const plan = this.workOut(cell);
    if (known === undefined) this.known.set(key, this.learned(plan, cell));
    else if (known !== "each by itself" && expected !== undefined)
      this.known.set(key, samePlan(plan, expected) ? { ...known, isSure: true } : "each by itself");
    return plan;
  }

  private learned(plan: SheetPlan, cell: FileCell): Known {
    const { conversions, inputs, asValues, unchecked, stopped } = plan;
    const [conversion] = conversions;
    const isOne =
      conversions.length === 1 &&
      conversion?.value === undefined &&
      typeof conversion?.native === "string" &&
      asValues.length + stopped.length === 0 &&
      !this.spills(cell.formula);
    const written = isOne ? shapeOf(conversion.native, cell) : undefined;
    if (written === undefined) return "each by itself";
    const placed = inputs.map((input) => ({ input, reference: shapeOf(input.input.reference, cell) }));
    const isPlaced = (one: (typeof placed)[number]): one is OneFormula["inputs"][number] =>
      one.reference !== undefined;
    if (!placed.every(isPlaced)) return "each by itself";
    return { formula: { written, inputs: placed, unchecked }, isSure: false };
  }

  /** Undefined where it would refer to what no sheet has. */
  private from({ written, inputs, unchecked }: OneFormula, cell: FileCell): SheetPlan | undefined {
    const { row, column, formula } = cell;
    const { sheet } = this;
    const native = standingIn(written, cell);
    if (native === undefined) return undefined;
    const placed: PlannedInput[] = [];
    for (const { input, reference } of inputs) {
      const here = standingIn(reference, cell);
      if (here === undefined) return undefined;
      // Of the call only its function and its place among the arguments are asked from here on.
      placed.push({ ...input, input: { ...input.input, reference: here } });
    }
    const address = cellAddress(row, column);
    return {
      ...nothing,
      conversions: [{ sheet, row, column, original: formula, native }],
      inputs: placed,
      unchecked: unchecked.map((one) => ({ ...one, address, formula })),
    };
  }
}

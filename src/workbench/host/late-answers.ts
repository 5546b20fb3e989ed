import type { Argument, Cell } from "../functions/marshal";
import type { Harshness } from "./harshness";
import type { Model, Position } from "./spreadsheet";

/** What a cell shows whose answer is still to come. */
export const BUSY = "#BUSY!";

const STILL_BUSY: Cell = { value: BUSY, message: "The answer is still to come." };

/** Later than the answer to any request sent with the edit. */
const DELAY = 5;

type Answer = Cell | Cell[][];

interface Known {
  answer: Answer;
  /** The round in which it was last asked for. */
  round: number;
}

interface Asked {
  position: Position;
  caller: string;
  key: string;
  round: number;
  compute: () => Answer;
}

const valuesOf = (given: Argument): unknown =>
  Array.isArray(given) ? given.map((column) => column.map(({ value }) => value)) : given?.value;

/**
 * Answers of custom functions that come later than the edit that asks for them. Functions that read each other's cells
 * take a round each, and the calculation is done when a round asks for nothing more.
 */
export class LateAnswers {
  /** Told after each round with the sheets that were answered. */
  onRound: (sheetIds: readonly string[]) => void = () => undefined;
  /** Runs each round, for a host that measures its own work. */
  around: (deliver: () => void) => void = (deliver) => deliver();
  /** While this is so, nothing is answered. */
  isHeld: () => boolean = () => false;
  private readonly known = new Map<string, Map<string, Known>>();
  private readonly shown = new Map<string, Answer>();
  private pending = new Map<string, Asked>();
  private waiting: (() => void)[] = [];
  private round = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly mode: Harshness["answers"],
    private readonly model: () => Model,
  ) {}

  get isBusy(): boolean {
    return this.pending.size > 0;
  }

  /** The answer of a call in a cell, or what the cell shows until it comes. */
  of(
    position: Position | undefined,
    functionName: string,
    given: readonly Argument[],
    compute: () => Answer,
  ): Answer {
    if (this.mode === "at once" || position === undefined) return compute();
    const values = given.map(valuesOf);
    if (values.flat(2).includes(BUSY)) return STILL_BUSY;
    const caller = `${position.sheetId} ${position.col} ${position.row} ${functionName}`;
    const key = JSON.stringify(values);
    const known = this.known.get(caller)?.get(key);
    if (known) {
      known.round = this.round;
      return known.answer;
    }
    this.pending.set(`${caller} ${key}`, { position, caller, key, round: this.round, compute });
    this.timer ??= this.later();
    const before = this.shown.get(caller);
    return this.mode === "old" && before ? before : STILL_BUSY;
  }

  /** Resolves when no answer is owed. */
  async done(): Promise<void> {
    while (this.isBusy) await new Promise<void>((resolve) => this.waiting.push(resolve));
  }

  /** Answers at once all that is owed. */
  finish(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
    while (this.isBusy) this.around(() => this.deliver());
  }

  /** Another workbook is open. */
  forget(): void {
    clearTimeout(this.timer);
    this.timer = undefined;
    this.pending = new Map();
    this.known.clear();
    this.shown.clear();
  }

  private later(): ReturnType<typeof setTimeout> {
    return setTimeout(() => {
      this.timer = undefined;
      if (this.isHeld()) this.timer = this.later();
      else this.around(() => this.deliver());
    }, DELAY);
  }

  private deliver(): void {
    const asked = [...this.pending.values()];
    this.pending = new Map();
    this.round++;
    for (const one of asked) this.store(one);
    const model = this.model();
    const present = asked.filter(({ position }) => model.getters.tryGetSheet(position.sheetId));
    const cellIds = present.flatMap(({ position }) => model.getters.getCell(position)?.id ?? []);
    model.dispatch("EVALUATE_CELLS", { cellIds: [...new Set(cellIds)] });
    this.round++;
    this.onRound([...new Set(present.map(({ position }) => position.sheetId))]);
    const { waiting } = this;
    this.waiting = [];
    for (const resolve of waiting) resolve();
  }

  /** Keeps an answer in place of those that the cell no longer asks for. */
  private store({ caller, key, round, compute }: Asked): void {
    const answers = this.known.get(caller) ?? new Map<string, Known>();
    for (const [other, known] of answers) if (known.round < round) answers.delete(other);
    const answer = compute();
    answers.set(key, { answer, round: this.round });
    this.known.set(caller, answers);
    this.shown.set(caller, answer);
  }
}

/** Whether each cell is as it was before a work, as it is after it, or as another person typed it. */
import type { Known } from "./known";
import { isNew } from "./known";
import type { Naming } from "./moves";
import { agree, asBefore, isPart, loosely, Moves } from "./moves";
import type { AnotherPerson } from "./others";
import type { SheetState, State } from "./state";

export type Wanted = "before" | "after";

const still = new Moves();

/** A cell that a formula filled by itself, as it is handed over. */
const isPartOfFilled = (content: string): boolean => /"filled from \{1\}"/.test(content);

class Judge {
  readonly faults: string[] = [];

  constructor(
    private readonly known: Known,
    private readonly now: State,
    private readonly person: AnotherPerson,
    private readonly allowed: readonly Wanted[],
  ) {}

  private naming({ sheets }: State, movesOf: Naming["movesOf"]): Naming {
    return {
      idOf: (name) => sheets.find((sheet) => sheet.name.toUpperCase() === name.toUpperCase())?.id,
      movesOf,
    };
  }

  private readonly stillOf: Naming["movesOf"] = (id) =>
    this.person.movesOf(id) === undefined ? undefined : still;

  private stateOf(wanted: Wanted): State {
    return wanted === "before" ? this.known.before : this.known.after;
  }

  private cellsOf(wanted: Wanted, id: string): SheetState["cells"] | undefined {
    return this.stateOf(wanted).sheets.find((sheet) => sheet.id === id)?.cells;
  }

  private asNow(content: string, id: string): readonly string[] {
    return asBefore(content, id, this.naming(this.now, this.person.movesOf));
  }

  private asIn(wanted: Wanted, content: string, id: string): readonly string[] {
    return asBefore(content, id, this.naming(this.stateOf(wanted), this.stillOf));
  }

  /** Sheets that somebody had or added stay, unless the work itself takes one away. */
  sheetsStay(): void {
    const { known, now, person, allowed, faults } = this;
    const isThere = (id: string): boolean => now.sheets.some((sheet) => sheet.id === id);
    const goes = (id: string): boolean =>
      allowed.includes("after") && !known.after.sheets.some((sheet) => sheet.id === id);
    for (const { id, name } of known.before.sheets)
      if (!person.deleted.has(id) && !isThere(id) && !goes(id)) faults.push(`the sheet ${name} is gone`);
    for (const id of person.added) if (!isThere(id)) faults.push("a sheet of the other person is gone");
  }

  typedStays(): void {
    for (const one of this.person.typed) {
      const cells = this.now.sheets.find(({ id }) => id === one.sheet)?.cells;
      if (cells === undefined) continue;
      // What is given back says with an apostrophe that it is a text, and is that text.
      const heldIn = (row: number): string | undefined =>
        cells.get(`${row},${one.column}`)?.replace(/^'/, "");
      if (heldIn(one.row) === one.content) continue;
      // Rows that the work put in have moved it down.
      const rows = this.known.rowsPut.length > 0 ? [...cells.keys()].map((at) => parseInt(at, 10)) : [];
      const row = rows.find((other) => heldIn(other) === one.content);
      if (row === undefined) this.faults.push(`${one.content} is lost`);
      else one.row = row;
    }
  }

  cellsAreRight(): void {
    for (const sheet of this.now.sheets) {
      const was = this.cellsOf("before", sheet.id);
      if (was !== undefined) this.sheetIsRight(sheet, was);
    }
  }

  private sheetIsRight({ id, name, cells }: SheetState, was: SheetState["cells"]): void {
    const { person, faults } = this;
    const typed = new Set(
      person.typed.filter((one) => one.sheet === id).map(({ row, column }) => `${row},${column}`),
    );
    const moves = person.movesOf(id) ?? still;
    const wasThere = [...was.keys()].flatMap((at) => {
      const [row = 0, column = 0] = at.split(",").map(Number);
      return moves.now(row, column) ?? [];
    });
    for (const at of new Set([...cells.keys(), ...wasThere])) {
      if (typed.has(at)) continue;
      const [row = 0, column = 0] = at.split(",").map(Number);
      const place = moves.before(row, column);
      const content = cells.get(at) ?? "";
      if (place === undefined) {
        if (!this.isFilled(content, id, ""))
          faults.push(`${name} ${at} was put in since and holds ${content}`);
        continue;
      }
      const key = place.join(",");
      const isRight =
        this.allowed.some((wanted) => this.isAs(wanted, content, id, key)) ||
        (person.hasMoved && this.isFilled(content, id, key)) ||
        this.isWithoutGuards(content, id, key);
      if (!isRight) faults.push(`${name} ${at} holds ${content}, was ${was.get(key) ?? ""}`);
    }
  }

  private isAs(wanted: Wanted, content: string, id: string, key: string): boolean {
    const state = this.cellsOf(wanted, id)?.get(key) ?? "";
    return state === content || agree(this.asNow(content, id), this.asIn(wanted, state, id));
  }

  /**
   * What a formula fills may fill more or other cells once it reads other rows; and where it filled cells by itself,
   * those that it filled when it was taken back carry a part each, however many rows stand between them by now.
   */
  private isFilled(content: string, id: string, key: string): boolean {
    return this.isAmong("after", "before", content, id, key) || this.isPartOfFilled(content, id, key);
  }

  /** Whether cells of one state that the other has nothing in hold this. */
  private isAmong(wanted: Wanted, other: Wanted, content: string, id: string, key: string): boolean {
    const without = this.cellsOf(other, id);
    if (!this.allowed.includes(wanted) || without?.get(key) !== undefined) return false;
    const held = loosely(this.asNow(content, id));
    return [...(this.cellsOf(wanted, id) ?? [])].some(
      ([at, state]) => without?.get(at) === undefined && agree(held, this.asIn(wanted, state, id)),
    );
  }

  private isPartOfFilled(content: string, id: string, key: string): boolean {
    if (!isPartOfFilled(content)) return false;
    const parts = (cells: SheetState["cells"] | undefined): number =>
      [...(cells?.values() ?? [])].filter(isPartOfFilled).length;
    const now = this.now.sheets.find((sheet) => sheet.id === id)?.cells;
    return (
      parts(now) <= parts(this.cellsOf("before", id)) && this.isAmong("before", "after", content, id, key)
    );
  }

  /**
   * A formula asks less of a cell that is typed by now than of one that was worked out, whose limit says the rest; and
   * whatever it asks of a cell that was taken out, it shows that this is gone.
   */
  private isWithoutGuards(content: string, id: string, key: string): boolean {
    const after = this.cellsOf("after", id)?.get(key);
    return (
      this.known.work.isGuarded === true &&
      (this.person.typed.length > 0 || this.person.hasMoved) &&
      this.allowed.includes("after") &&
      after !== undefined &&
      (content.includes("#REF") || isPart(this.asNow(content, id), this.asIn("after", after, id)))
    );
  }

  newSheetsAreWhole(): void {
    const { known, now, person, allowed, faults } = this;
    const ours = now.sheets.filter((one) => !person.added.has(one.id) && isNew(known)(one));
    const whole = known.after.sheets.filter(isNew(known));
    const wanted = allowed.map((one) => (one === "before" ? 0 : whole.length));
    // Of sheets that are gone no copy can be made.
    const isFewer = person.deleted.size > 0 && ours.length < Math.max(...wanted);
    if (!wanted.includes(ours.length) && !isFewer) faults.push(`${ours.length} sheets of ours are there`);
    if (allowed.includes("before") || ours.length === 0 || isFewer) return;
    const told = (sheets: readonly SheetState[]) =>
      sheets
        .map(({ cells, rules }) => `${cells.size} cells ${rules} limits`)
        .sort()
        .join();
    if (told(ours) !== told(whole)) faults.push("a new sheet is not whole");
  }
}

function judgedOnce(...given: ConstructorParameters<typeof Judge>): readonly string[] {
  const judge = new Judge(...given);
  judge.sheetsStay();
  judge.typedStays();
  judge.cellsAreRight();
  judge.newSheetsAreWhole();
  return judge.faults;
}

/** What is wrong with the workbook, where each cell is to be as before, as after, or the other person's. */
export function judged(
  known: Known,
  now: State,
  person: AnotherPerson,
  allowed: readonly Wanted[],
): readonly string[] {
  const faults = judgedOnce(known, now, person, allowed);
  const [first, last] = known.rowsPut;
  if (faults.length === 0 || first === undefined || last === undefined) return faults;
  // A row that the work put in stays where somebody wrote into it meanwhile.
  person.hasRowsOfTyped(first, last);
  return judgedOnce(known, now, person, allowed).length === 0 ? [] : faults;
}

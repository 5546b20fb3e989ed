/**
 * The checks run over a survey. Each look at a part of the workbook is kept with what it rests on, so that a change
 * looks again at what it touches and at nothing else.
 */
import type { Pause, Pieces } from "../host";
import { inSlices, showsError } from "../host";
import type { Check, Finding, Finds } from "./check";
import { weights } from "./check";
import type { Ground } from "./call-reading";
import { Reading } from "./reading";
import type { At } from "../tables";
import type { Change, ReadCell, StoredCell, Survey, SurveyedSheet } from "./survey";

/** One part of the workbook that is looked at as a whole. */
interface Look {
  readonly name: string;
  readonly take: (reading: Reading) => Iterable<readonly [Check, Finds]>;
  grounds: ReadonlySet<Ground>;
  findings: readonly Finding[];
}

const weightOrder = Object.keys(weights);
const ours = /SWARD[._]/i;

/** So many looks are set up, or cells looked at, between two questions whether it is time to pause. */
const looksAtATime = 50;
const cellsAtATime = 200;

/** Which of a cell's changes change how its sheet is read. */
function kindOf({ formula, value, shape }: StoredCell): string {
  if (formula === "") return "blank";
  if (shape !== undefined) return typeof value === "string" ? "words worked out" : "worked out";
  return typeof value === "number" ? "number" : `text ${formula}`;
}

export class Checker {
  private readonly looks = new Map<string, Look>();
  private readonly restingOn = new Map<Ground, Set<Look>>();

  constructor(
    private readonly survey: Survey,
    private readonly checks: readonly Check[],
    private readonly today: number,
  ) {}

  /** Everything looked at. */
  async checkAll(pause: Pause): Promise<void> {
    const looks: Look[] = [];
    for (const sheet of this.survey.sheets) {
      for (const look of this.partsOf(sheet)) {
        looks.push(look);
        if (looks.length % looksAtATime === 0) await pause(0, 1);
      }
    }
    await this.lookAt(looks, pause);
  }

  /** Takes in what cells hold now, and looks again at what that touches. */
  async recheck(cells: readonly ReadCell[], pause: Pause): Promise<void> {
    const again = new Set<Look>();
    const changes = await inSlices(this.survey.take(cells), pause);
    await inSlices(this.touching(changes, again), pause);
    for (const sheet of relaid(changes)) {
      if (!(await inSlices(sheet.layOut(), pause))) continue;
      await inSlices(this.restingOnAny([`layout ${sheet.index}`], again), pause);
      await inSlices(this.layingOutAnew(sheet, again), pause);
    }
    await this.lookAt([...again], pause);
  }

  /** What changes touch is to be looked at again; a ground that many of them touch counts once. */
  private *touching(changes: readonly Change[], again: Set<Look>): Pieces<void> {
    const grounds = new Set<Ground>();
    for (const [i, change] of changes.entries()) {
      this.touched(change, (ground) => grounds.add(ground), again);
      if (i % looksAtATime === 0) yield 0;
    }
    yield* this.restingOnAny(grounds, again);
  }

  private *restingOnAny(grounds: Iterable<Ground>, again: Set<Look>): Pieces<void> {
    let seen = 0;
    for (const ground of grounds) {
      for (const look of this.restingOn.get(ground) ?? []) {
        again.add(look);
        if (++seen % looksAtATime === 0) yield 0;
      }
    }
  }

  /** What was laid out on a sheet is forgotten, and what is laid out there now is to be looked at. */
  private *layingOutAnew(sheet: SurveyedSheet, again: Set<Look>): Pieces<void> {
    let seen = 0;
    for (const look of this.looks.values()) {
      if (++seen % looksAtATime === 0) yield 0;
      if (!look.name.startsWith(`laid out ${sheet.index} `)) continue;
      this.forget(look);
      again.delete(look);
    }
    for (const look of this.laidOutParts(sheet)) {
      if (++seen % looksAtATime === 0) yield 0.5;
      again.add(look);
    }
  }

  private touched(
    { sheet, at, before, now }: Change,
    touch: (ground: Ground) => void,
    again: Set<Look>,
  ): void {
    touch(sheet.keyOf(at));
    const called = [...(before.shape?.calls ?? []), ...(now.shape?.calls ?? [])];
    if (before.formula !== now.formula || isMore(before) !== isMore(now))
      for (const { id } of called) touch(`gives ${id} ${sheet.index}`);
    if (
      kindOf(before) !== kindOf(now) ||
      before.formula !== now.formula ||
      showsError(before) !== showsError(now)
    ) {
      touch(`column ${sheet.index} ${at.column}`);
      if (now.shape !== undefined) again.add(this.columnLook(sheet, at.column));
    }
    if (before.formula === now.formula) return;
    for (const { id } of called) touch(`calls ${id}`);
    for (const { shape } of [before, now])
      for (const key of this.survey.readBy(sheet, at, shape)) touch(`users ${key}`);
    const known = this.looks.get(cellName(sheet, at));
    if (known !== undefined) {
      again.delete(known);
      this.forget(known);
    }
    const look = this.cellLook(sheet, at);
    if (look !== undefined) again.add(look);
  }

  /** Worst first, then in the order of the workbook; one finding of a check a cell. */
  get findings(): readonly Finding[] {
    const order = new Map(this.survey.sheets.map(({ name, index }) => [name, index]));
    const byPlace = new Map<string, Finding>();
    for (const { findings } of this.looks.values()) {
      for (const finding of findings) {
        const place = `${finding.check.id}\n${finding.sheet}\n${finding.address}`;
        const other = byPlace.get(place);
        // Which look came first must not matter.
        if (other === undefined || finding.sentence < other.sentence) byPlace.set(place, finding);
      }
    }
    const rank = ({ check, sheet, address }: Finding): readonly (number | string)[] => [
      weightOrder.indexOf(check.weight),
      order.get(sheet) ?? 0,
      Number(/(?<!\d)\d+$/.exec(address)?.[0] ?? 0),
      address,
      check.id,
    ];
    const ranked = [...byPlace.values()].map((finding) => ({ finding, rank: rank(finding) }));
    return ranked.sort((a, b) => compared(a.rank, b.rank)).map(({ finding }) => finding);
  }

  private *partsOf(sheet: SurveyedSheet): Generator<Look> {
    const columns = new Set<number>();
    for (const [at, { shape }] of sheet.filled()) {
      if (shape === undefined) continue;
      columns.add(at.column);
      const look = this.cellLook(sheet, at);
      if (look !== undefined) yield look;
    }
    for (const column of columns) yield this.columnLook(sheet, column);
    yield* this.laidOutParts(sheet);
    if (this.survey.bidOf(sheet) !== undefined) {
      yield this.look(`bid ${sheet.index}`, (reading) =>
        this.checks.flatMap((check) =>
          check.bidSheets === undefined ? [] : [[check, check.bidSheets(sheet.name, reading)] as const],
        ),
      );
    }
  }

  private look(name: string, take: Look["take"]): Look {
    const known = this.looks.get(name);
    if (known !== undefined) return known;
    const look: Look = { name, take, grounds: new Set(), findings: [] };
    this.looks.set(name, look);
    return look;
  }

  /** A cell whose formula names our functions. */
  private cellLook(sheet: SurveyedSheet, at: At): Look | undefined {
    const { formula, shape } = sheet.get(at);
    if (shape === undefined || !ours.test(formula)) return undefined;
    const { checks } = this;
    const look = function* (reading: Reading): Generator<readonly [Check, Finds]> {
      const cell = reading.cell(sheet, at);
      for (const check of checks) if (check.cells !== undefined) yield [check, check.cells(cell, reading)];
      const calls = shape.calls.map((called) => reading.call(cell, called));
      for (const call of calls.flatMap((one) => (one.id === "EACH_ROW" ? [...reading.rowsOf(one)] : [one]))) {
        for (const check of checks) {
          const { of, look } = check.calls ?? { of: [], look: nothing };
          if (of === "any" || of.includes(call.id)) yield [check, look(call, reading)];
        }
      }
    };
    return this.look(cellName(sheet, at), look);
  }

  private columnLook(sheet: SurveyedSheet, column: number): Look {
    return this.look(`column ${sheet.index} ${column}`, (reading) => {
      const cells = reading.column(sheet, column);
      return this.checks.flatMap((check) =>
        check.columns === undefined ? [] : [[check, check.columns(cells, reading)] as const],
      );
    });
  }

  /** The rows of tables and the figures beside labels. */
  private *laidOutParts(sheet: SurveyedSheet): Generator<Look> {
    const { tables, figures } = sheet.layout;
    for (const table of tables) {
      const concepts = new Set(table.columns.flatMap(({ concept }) => concept ?? []));
      const checks = this.checks.flatMap((check) =>
        check.rows !== undefined && check.rows.having.every((one) => concepts.has(one))
          ? [[check, check.rows] as const]
          : [],
      );
      if (checks.length === 0) continue;
      for (let row = table.first; row <= table.last; row++) {
        const seen = { sheet, table, row, column: table.columns[0]?.column ?? 0 };
        yield this.look(`laid out ${sheet.index} row ${row} ${seen.column}`, (reading) =>
          checks.map(([check, { look }]) => [check, look(seen, reading)] as const),
        );
      }
    }
    for (const { concept, at } of figures) {
      const checks = this.checks.flatMap((check) =>
        check.figures?.about.includes(concept) === true ? [[check, check.figures] as const] : [],
      );
      if (checks.length === 0) continue;
      yield this.look(`laid out ${sheet.index} figure ${at.row} ${at.column}`, (reading) =>
        checks.map(([check, { look }]) => [check, look(reading.cell(sheet, at), reading)] as const),
      );
    }
  }

  private async lookAt(looks: readonly Look[], pause: Pause): Promise<void> {
    for (const [i, look] of looks.entries()) {
      await pause(i, looks.length);
      await inSlices(this.looking(look), () => pause(i, looks.length));
    }
  }

  private *looking(look: Look): Pieces<void> {
    const grounds = new Set<Ground>();
    let [asked, told] = [0, 0];
    const reading = new Reading(this.survey, this.today, (ground) => {
      grounds.add(ground);
      asked++;
    });
    const findings: Finding[] = [];
    for (const [check, finds] of look.take(reading)) {
      for (const { at, sentence, todo } of finds) {
        findings.push({ check, sheet: at.sheet.name, address: at.address, sentence, todo });
        asked++;
      }
      if (asked - told < cellsAtATime) continue;
      told = asked;
      yield 0;
    }
    look.findings = findings;
    this.restOn(look, grounds);
  }

  /** A look mostly rests on what it rested on before: only what differs is entered and struck. */
  private restOn(look: Look, grounds: ReadonlySet<Ground>): void {
    for (const ground of grounds) {
      if (look.grounds.has(ground)) continue;
      const known = this.restingOn.get(ground);
      if (known === undefined) this.restingOn.set(ground, new Set([look]));
      else known.add(look);
    }
    for (const ground of look.grounds) {
      if (grounds.has(ground)) continue;
      const resting = this.restingOn.get(ground);
      resting?.delete(look);
      if (resting?.size === 0) this.restingOn.delete(ground);
    }
    look.grounds = grounds;
  }

  private forget(look: Look): void {
    this.restOn(look, new Set());
    this.looks.delete(look.name);
  }
}

const nothing = (): Finds => [];

const isMore = ({ value }: StoredCell): boolean => typeof value === "number" && value > 0;

const cellName = ({ index }: SurveyedSheet, { row, column }: At): string => `cell ${index} ${row} ${column}`;

const relaid = (changes: readonly Change[]): ReadonlySet<SurveyedSheet> =>
  new Set(changes.filter(({ before, now }) => kindOf(before) !== kindOf(now)).map(({ sheet }) => sheet));

function compared(a: readonly (number | string)[], b: readonly (number | string)[]): number {
  const at = a.findIndex((one, i) => one !== b[i]);
  const [one = 0, other = 0] = [a[at], b[at]];
  return at < 0 ? 0 : one < other ? -1 : 1;
}

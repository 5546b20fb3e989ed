/** One run: a work, disturbed as its seed says, then finished or taken back by a pane that was opened again. */
import type { Workbench } from "../../../src/workbench/node";
import { putInSelectedCell } from "../../../src/workbook/put";
import { unwatched } from "../../support/built-workbench";
import type { WorkCase } from "./cases";
import { agree, asBefore, loosely } from "./moves";
import type { Naming } from "./moves";
import { AnotherPerson, otherEdits } from "./others";
import type { OtherEdit } from "./others";
import type { State } from "./state";
import { stateOf } from "./state";
import { unfinishedWorks } from "../../../src/workbook/unfinished";
import { finishWork, takeBackWork } from "../../../src/workbook/work/settle";

/** What the undisturbed work makes of its workbook, and how many operations each of its requests has. */
export interface Known {
  readonly work: WorkCase;
  readonly copy: object;
  readonly before: State;
  readonly after: State;
  readonly operations: readonly number[];
  /** The request in which the work says what it is about to do. */
  readonly marked: number;
}

export interface Disturbed {
  /** Where the host fails; nothing for a host that does not. */
  readonly failsAt: readonly [batch: number, operation: number] | undefined;
  /** Whether the host is gone from then on, until the pane is opened again. */
  readonly isGone: boolean;
  readonly edits: readonly (readonly [batch: number, edit: OtherEdit])[];
  /** The request before which a second work is begun. */
  readonly second: number | undefined;
  readonly settle: "take back" | "finish";
  readonly seed: number;
}

export interface Outcome {
  readonly state: string;
  readonly faults: readonly string[];
}

/** Numbers that look random, the same for the same seed: a generator of L'Ecuyer's kind, of 31 bits. */
export function random(seed: number): (most: number) => number {
  let state = (seed * 2_654_435_761 + 1) % 2_147_483_647;
  return (most) => {
    state = (state * 48_271 + 11) % 2_147_483_647;
    return Math.floor((state / 2_147_483_647) * most);
  };
}

export async function knowing(bench: Workbench, work: WorkCase): Promise<Known> {
  bench.disturb();
  await work.prepare(bench);
  await bench.calculated();
  const copy = bench.copy();
  bench.open(structuredClone(copy));
  const before = stateOf(bench);
  const from = bench.log.length;
  await work.act(bench);
  await bench.calculated();
  const requests = bench.log.slice(from).map(({ request }) => request);
  const operations = requests.map(({ Actions }) => Actions.length);
  const marked = requests.findIndex((request) => JSON.stringify(request).includes("Swardsheet work "));
  return { marked: marked + 1, work, copy, before, after: stateOf(bench), operations };
}

const keys = (...maps: readonly (ReadonlyMap<string, string> | undefined)[]): ReadonlySet<string> =>
  new Set(maps.flatMap((map) => [...(map?.keys() ?? [])]));

/** The cells of sheets that were there before which the work gives something else. */
const targetsOf = ({ before, after }: Known): readonly (readonly [string, number, number])[] =>
  before.sheets.flatMap(({ id, cells }) => {
    const then = after.sheets.find((sheet) => sheet.id === id)?.cells;
    return [...keys(cells, then)].flatMap((at): (readonly [string, number, number])[] => {
      const [row = 0, column = 0] = at.split(",").map(Number);
      return cells.get(at) === then?.get(at) ? [] : [[id, row, column]];
    });
  });

export type Wanted = "before" | "after";

/** What is wrong with the workbook, where each cell is to be as before, as after, or the other person's. */
export function judged(
  known: Known,
  now: State,
  person: AnotherPerson,
  allowed: readonly Wanted[],
): string[] {
  const faults: string[] = [];
  const naming = (sheets: State["sheets"], moved: boolean): Naming => ({
    idOf: (name) => sheets.find((sheet) => sheet.name.toUpperCase() === name.toUpperCase())?.id,
    movesOf: moved ? person.movesOf : (id) => (person.movesOf(id) === undefined ? undefined : still),
  });
  for (const { id, name } of known.before.sheets)
    if (!person.deleted.has(id) && !now.sheets.some((sheet) => sheet.id === id) && !goes(known, id, allowed))
      faults.push(`the sheet ${name} is gone`);
  for (const id of person.added)
    if (!now.sheets.some((sheet) => sheet.id === id)) faults.push("a sheet of the other person is gone");
  for (const { sheet: id, row, column, content } of person.typed) {
    const sheet = now.sheets.find((one) => one.id === id);
    // What is given back says with an apostrophe that it is a text, and is that text.
    const held = sheet?.cells.get(`${row},${column}`)?.replace(/^'/, "");
    if (sheet !== undefined && held !== content) faults.push(`${content} is lost`);
  }
  for (const { id, name, cells } of now.sheets) {
    const was = known.before.sheets.find((sheet) => sheet.id === id)?.cells;
    const then = known.after.sheets.find((sheet) => sheet.id === id)?.cells;
    if (was === undefined) continue;
    const typed = new Set(
      person.typed.filter((one) => one.sheet === id).map(({ row, column }) => `${row},${column}`),
    );
    const moves = person.movesOf(id);
    for (const at of keys(cells, moves?.isMoved === true ? undefined : was)) {
      if (typed.has(at)) continue;
      const [row = 0, column = 0] = at.split(",").map(Number);
      const place = moves?.before(row, column);
      const content = cells.get(at) ?? "";
      const held = asBefore(content, id, naming(now.sheets, true));
      // What a formula fills may fill more or other cells once it reads other rows.
      const isFilled = (key: string): boolean =>
        was.get(key) === undefined &&
        allowed.includes("after") &&
        [...(then ?? [])].some(
          ([other, after]) =>
            was.get(other) === undefined &&
            agree(loosely(held), asBefore(after, id, naming(known.after.sheets, false))),
        );
      if (place === undefined) {
        if (!isFilled("")) faults.push(`${name} ${at} was put in since and holds ${content}`);
        continue;
      }
      const key = place.join(",");
      const states = allowed.map((one) => (one === "before" ? was.get(key) : then?.get(key)) ?? "");
      const isRight =
        (moves?.isMoved === true && isFilled(key)) ||
        states.some(
          (state, i) =>
            state === content ||
            agree(
              held,
              asBefore(
                state,
                id,
                naming((allowed[i] === "before" ? known.before : known.after).sheets, false),
              ),
            ),
        );
      if (!isRight) faults.push(`${name} ${at} holds ${content}, was ${was.get(key) ?? ""}`);
    }
  }
  const ours = now.sheets.filter(
    ({ id }) => !person.added.has(id) && !known.before.sheets.some((sheet) => sheet.id === id),
  );
  const wanted = allowed.map((one) =>
    one === "before" ? 0 : known.after.sheets.filter(isNew(known)).length,
  );
  // Of sheets that are gone no copy can be made.
  const isFewer = person.deleted.size > 0 && ours.length < Math.max(...wanted);
  if (!wanted.includes(ours.length) && !isFewer) faults.push(`${ours.length} sheets of ours are there`);
  if (allowed.length === 1 && allowed[0] === "after") {
    const cellsOf = (sheets: State["sheets"]) =>
      sheets
        .map(({ cells, rules }) => `${cells.size} cells ${rules} limits`)
        .sort()
        .join();
    if (ours.length > 0 && !isFewer && cellsOf(ours) !== cellsOf(known.after.sheets.filter(isNew(known))))
      faults.push("a new sheet is not whole");
  }
  return faults;
}

const isNew =
  ({ before }: Known) =>
  ({ id }: { readonly id: string }): boolean =>
    !before.sheets.some((sheet) => sheet.id === id);

/** Whether the work itself takes that sheet away. */
const goes = ({ after }: Known, id: string, allowed: readonly Wanted[]): boolean =>
  allowed.includes("after") && !after.sheets.some((sheet) => sheet.id === id);

const still = { before: (row: number, column: number) => [row, column] as const } as never;

const besideCells = ({ sheets, comments }: State): string =>
  JSON.stringify([
    comments,
    sheets.map(({ name, isVisible, rules, pictures }) => [name, isVisible, rules, pictures]),
  ]);

const sameBeside = (one: State, other: State): boolean => besideCells(one) === besideCells(other);

export async function run(bench: Workbench, known: Known, disturbed: Disturbed): Promise<Outcome> {
  const { work, copy, before, after } = known;
  const pick = random(disturbed.seed);
  bench.disturb();
  bench.open(structuredClone(copy));
  const person = new AnotherPerson(bench, before.sheets, pick);
  const targets = targetsOf(known);
  let second: Promise<string> | undefined;
  let failed = false;
  bench.disturb({
    between: (batch) => {
      for (const [at, edit] of disturbed.edits)
        if (at === batch && !(known.work.movesRows === true && / in$| out$/.test(edit)))
          person.does(edit, targets);
      if (batch === disturbed.second)
        second = putInSelectedCell("=SWARD.PACKS(1,1)", unwatched, { overwrite: true }).then(
          () => "was done",
          (error: unknown) => String(error),
        );
    },
    failsAt: (batch, operation) => {
      const [at, from] = disturbed.failsAt ?? [0, 0];
      const fails = (batch === at && operation === from) || (failed && disturbed.isGone);
      failed ||= fails;
      return fails;
    },
  });
  let sentence = "";
  await work.act(bench).catch((error: unknown) => {
    sentence = String(error);
  });
  const secondSaid = await second;
  bench.disturb();
  await bench.calculated();
  const faults: string[] = [];
  if (secondSaid !== undefined && !/is still/.test(secondSaid) && !failed)
    faults.push(`a second work ${secondSaid}`);
  if (secondSaid === "was done") return { state: "a second work came between", faults };
  const done = sentence === "";
  const unfinished = await unfinishedWorks();
  if (unfinished.length === 0) {
    const now = stateOf(bench);
    const isTold = /look at what stands there/.test(sentence);
    faults.push(...judged(known, now, person, done || isTold ? ["before", "after"] : ["before"]));
    const undisturbed = disturbed.edits.length === 0;
    if (undisturbed && !done && !sameBeside(now, before)) faults.push("not as before beside the cells");
    // A list that could not be written is told of, and the hand-over stands without it.
    const isWhole = undisturbed && done && !(failed && known.work.name.startsWith("a hand-over"));
    if (isWhole && !sameBeside(now, after)) faults.push("not as after beside the cells");
    if (isWhole) faults.push(...judged(known, now, person, ["after"]));
    if (isTold) return { state: "as before, the rest told", faults };
    if (now.marks.length > 0) faults.push("a mark is left");
    return { state: done ? "done" : "as before", faults };
  }
  const reported: number[] = [];
  let refused = "";
  const isBeyond = unfinished.some(({ canTakeBack }) => !canTakeBack);
  const finishes =
    isBeyond || (disturbed.settle === "finish" && unfinished.every(({ canFinish }) => canFinish));
  for (const { id } of unfinished) {
    const settled = await (finishes ? finishWork(id, unwatched) : takeBackWork(id)).catch(
      (error: unknown) => {
        refused = String(error);
        return { left: [] };
      },
    );
    reported.push(settled.left.length);
  }
  await bench.calculated();
  const now = stateOf(bench);
  const left = reported.reduce((sum, one) => sum + one, 0);
  const kind = finishes ? "finished later" : "taken back later";
  if (refused !== "") {
    faults.push(...judged(known, now, person, ["before", "after"]));
    if (disturbed.edits.length === 0) faults.push(`could not be ${kind}: ${refused}`);
    return { state: `not ${kind}: refused`, faults };
  }
  const wanted: Wanted[] =
    left > 0 || (finishes && disturbed.edits.length > 0)
      ? ["before", "after"]
      : [finishes ? "after" : "before"];
  faults.push(...judged(known, now, person, wanted));
  if (disturbed.edits.length === 0) {
    if (left > 0 && !work.name.startsWith("a drawing"))
      faults.push(`${left} cells left though nobody edited`);
    if (left === 0 && !sameBeside(now, finishes ? after : before)) faults.push("not right beside the cells");
  }
  if (now.marks.length > 0) faults.push("a mark is left");
  return { state: left > 0 ? `${kind}, the rest told` : kind, faults };
}

/** A run of a work by its number. */
export function disturbedBy(known: Known, seed: number): Disturbed {
  const pick = random(seed);
  const batches = known.operations.length;
  const failing = pick(10) < 8;
  const batch = 1 + pick(batches + 1);
  const operations = known.operations[batch - 1] ?? 4;
  // Columns are placed by what stands there when the table is read.
  const from = known.work.name.startsWith("columns") ? known.marked : 2;
  const quiet = pick(10) < 4;
  const edits = quiet
    ? []
    : Array.from(
        { length: 1 + pick(3) },
        () =>
          [
            from + pick(Math.max(1, batches + 2 - from)),
            otherEdits[pick(otherEdits.length)] ?? "types over a cell",
          ] as const,
      );
  return {
    failsAt: failing ? [batch, 1 + pick(operations)] : undefined,
    isGone: pick(10) < 6,
    edits,
    second: pick(10) === 0 ? 2 + pick(Math.max(1, batches - 2)) : undefined,
    settle: pick(2) === 0 ? "finish" : "take back",
    seed,
  };
}

/** Every operation refused in turn, by a host that answers again at once and by one that is gone from then on. */
export const inTurn = ({ operations }: Known): readonly Disturbed[] =>
  operations.flatMap((count, batch) =>
    Array.from({ length: count }, (_, operation) =>
      [false, true].map((isGone): Disturbed => ({
        failsAt: [batch + 1, operation + 1],
        isGone,
        edits: [],
        second: undefined,
        settle: operation % 2 === 0 ? "take back" : "finish",
        seed: 0,
      })),
    ).flat(),
  );

/** One run: a work, disturbed as its seed says, then finished or taken back by a pane that was opened again. */
import type { Workbench } from "../../../src/workbench/node";
import { putInSelectedCell } from "../../../src/workbook/own-sheets/put";
import { unwatched } from "../../support/built-workbench";
import type { Wanted } from "./judge";
import { judged } from "./judge";
import type { Known } from "./known";
import { isMark, readsCells, targetsOf } from "./known";
import { AnotherPerson, otherEdits } from "./others";
import type { OtherEdit } from "./others";
import type { State } from "./state";
import { stateOf } from "./state";
import type { LeftCell } from "../../../src/workbook/work/steps";
import type { Unfinished } from "../../../src/workbook/work/works-left";
import { unfinishedWorks } from "../../../src/workbook/work/works-left";
import { finishWork, takeBackWork } from "../../../src/workbook/unfinished/settle";

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
function random(seed: number): (most: number) => number {
  let state = (seed * 2_654_435_761 + 1) % 2_147_483_647;
  return (most) => {
    state = (state * 48_271 + 11) % 2_147_483_647;
    return Math.floor((state / 2_147_483_647) * most);
  };
}

const besideCells = ({ sheets, comments }: State): string =>
  JSON.stringify([
    comments,
    sheets.map(({ name, isVisible, rules, pictures }) => [name, isVisible, rules, pictures]),
  ]);

const sameBeside = (one: State, other: State): boolean => besideCells(one) === besideCells(other);

/** Whether what somebody does then is to be told from what the work was planned for. */
function isDisturbance(
  bench: Workbench,
  { work, marked }: Known,
  { edits }: Disturbed,
  edit: OtherEdit,
): boolean {
  if (work.movesRows === true && / in$| out$/.test(edit)) return false;
  if (work.isPlaced !== true || !edit.startsWith("types")) return true;
  const requests = bench.log.map(({ request }) => request);
  // What moves meanwhile is read anew, with all that was typed by then.
  const isReadAnew = edits.some(([other, moves]) => other < marked && /^(puts|takes|renames)/.test(moves));
  return requests.some(isReadAnew ? isMark : readsCells);
}

export async function run(bench: Workbench, known: Known, disturbed: Disturbed): Promise<Outcome> {
  const { work, copy, before, after } = known;
  const pick = random(disturbed.seed);
  bench.disturb();
  bench.clearLog();
  bench.open(structuredClone(copy));
  const person = new AnotherPerson(bench, before.sheets, pick);
  const targets = targetsOf(known);
  let second: Promise<string> | undefined;
  let failed = false;
  bench.disturb({
    between: (batch) => {
      for (const [at, edit] of disturbed.edits)
        if (at === batch && isDisturbance(bench, known, disturbed, edit)) person.does(edit, targets);
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
  for (const [, typed = ""] of sentence.matchAll(/Type “(.*?)” into/g)) person.isTold(typed);
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
  const canTakeBack = unfinished.every((one) => one.canTakeBack);
  const canFinish = unfinished.every((one) => one.canFinish);
  const wishes = disturbed.settle === "finish" ? canFinish : !canTakeBack;
  const first = await settle(unfinished, wishes);
  const hasOther = first.refused !== "" && (wishes ? canTakeBack : canFinish);
  const finishes = hasOther ? !wishes : wishes;
  // What was begun anew and failed is offered as well by then.
  const { left, refused, lost } = hasOther ? await settle(await unfinishedWorks(), finishes) : first;
  for (const { typed = "" } of [...unfinished.flatMap((one) => one.lost), ...lost]) person.isTold(typed);
  await bench.calculated();
  const now = stateOf(bench);
  const isQuiet = disturbed.edits.length === 0;
  const kind = `${finishes ? "finished" : "taken back"} later`;
  if (refused !== "" || (isQuiet && hasOther))
    faults.push(`could not be ${kind}: ${first.refused} ${refused}`);
  const isEither = left > 0 || refused !== "" || (finishes && !isQuiet);
  const wanted: readonly Wanted[] = isEither ? ["before", "after"] : [finishes ? "after" : "before"];
  faults.push(...judged(known, now, person, wanted));
  if (isQuiet) {
    if (left > 0 && !work.name.startsWith("a drawing"))
      faults.push(`${left} cells left though nobody edited`);
    if (left === 0 && !sameBeside(now, finishes ? after : before)) faults.push("not right beside the cells");
  }
  if (now.marks.length > 0 && refused === "") faults.push("a mark is left");
  const how = [kind, ...(hasOther ? ["the other way refused"] : []), ...(left > 0 ? ["the rest told"] : [])];
  return { state: how.join(", "), faults };
}

interface Settlement {
  /** So many cells were told of as left. */
  readonly left: number;
  readonly refused: string;
  /** What is to be typed again. */
  readonly lost: readonly LeftCell[];
}

/** Finishes what is offered, or takes it back. */
async function settle(offered: readonly Unfinished[], finishes: boolean): Promise<Settlement> {
  let [left, refused] = [0, ""];
  const lost: LeftCell[] = [];
  for (const { id } of offered)
    await (finishes ? finishWork(id, unwatched) : takeBackWork(id)).then(
      (settled) => {
        const again = settled.left.filter(({ typed }) => typed !== undefined);
        lost.push(...again);
        left += settled.left.length - again.length;
      },
      (error: unknown) => (refused = String(error)),
    );
  return { left, refused, lost };
}

/** A run of a work by its number. */
export function disturbedBy(known: Known, seed: number): Disturbed {
  const pick = random(seed);
  const batches = known.operations.length;
  const failing = pick(10) < 8;
  const batch = 1 + pick(batches + 1);
  const operations = known.operations[batch - 1]?.length ?? 4;
  // Columns are placed by what stands there when the table is read, before the work begins.
  const from = known.work.name.startsWith("columns")
    ? known.marked
    : known.work.isPlaced === true
      ? known.read + 1
      : 2;
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
    second: pick(10) === 0 ? from + pick(Math.max(1, batches - from)) : undefined,
    settle: pick(2) === 0 ? "finish" : "take back",
    seed,
  };
}

/** Requests with so many operations are those that lay out whole sheets. */
const manyOperations = 100;

/**
 * Every operation refused in turn, by a host that answers again at once and by one that is gone from then on. One that
 * only says which object is meant leaves the workbook as the one after it finds it: in the longest requests, where most
 * are such, it is left out, unless all are asked for.
 */
export const inTurn = ({ operations }: Known, isAll: boolean): readonly Disturbed[] =>
  operations.flatMap((acts, batch) =>
    acts.flatMap((act, operation) =>
      act || isAll || acts.length < manyOperations
        ? [false, true].map((isGone): Disturbed => ({
            failsAt: [batch + 1, operation + 1],
            isGone,
            edits: [],
            second: undefined,
            settle: operation % 2 === 0 ? "take back" : "finish",
            seed: 0,
          }))
        : [],
    ),
  );

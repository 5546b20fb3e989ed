/** Hands sheets over in the workbook: plans, writes, reads back, and lists what was typed. */
import { addAll } from "../../engine/lists";
import type { Mark, WantedLimit } from "../marks";
import type { CellChange } from "../writing";
import { findingLimits, readValidations, writeLimits } from "../writing";
import type { CellNote, Pause, Progress, RequestContext, SheetCells } from "../host";
import {
  asSentence,
  blockOf,
  cellAddress,
  eachFormula,
  inSlices,
  pass,
  readCalculatedSheets,
  refuseProtected,
  shareDown,
  slices,
  speakAnew,
  Stopped,
} from "../host";
import { asWork, stepsBack } from "../work";
import { carriersBack } from "./bring-back";
import { mentionsCarrier } from "./carrier";
import { asPlanned, ChangeSet } from "./change-set";
import { isHandedList, linesFor, listingWhat, writeHandedList } from "./handed-list";
import { Knowledge } from "../formulas";
import { namesToHand, writeNames } from "./names";
import type { ReachingOut } from "./outward";
import { reachingOut } from "./outward";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { Conversion, SheetPlan } from "./plan";
import { NativePlan } from "./plan";
import { Contents } from "./proof";
import { putRight } from "./put-right";
import { exceptThose, idsOf, namesOf, placeIn, rounds } from "./rounds";
import { rulesToHand, writeRules } from "./rules/hand-rules";
import { addValueNotes } from "./value-notes";
import type { HandOverWay } from "./ways";
import { ways } from "./ways";

export interface HandOverReport {
  readonly converted: number;
  /** Cells where a function without a native form became its value. */
  readonly asValues: readonly CellNote[];
  /** Ranges of input cells that were given the limits that the functions had watched over. */
  readonly limits: number;
  readonly unchecked: readonly CellNote[];
  /** Cells that cannot be converted: their whole sheet was left as it was. */
  readonly stopped: readonly CellNote[];
  /** Cells whose native form did not show what the function had shown: they have their function still. */
  readonly putBack: readonly CellNote[];
  /** Rules of conditional formats and limits that are native now. */
  readonly rules: number;
  /** Names that are native now. */
  readonly names: number;
  /** Formulas, names and rules that stay as they were: without a native form, or of another workbook. */
  readonly left: readonly CellNote[];
  /** Formulas, names and rules that are native now and are not brought back. */
  readonly bare: readonly CellNote[];
  /** Cells that somebody wrote to while they were handed over: they are as those left them. */
  readonly meanwhile: readonly CellNote[];
  /** The sheet that lists what was typed, or why there is none. */
  readonly list?: { readonly sheet: string } | { readonly why: string };
}

async function planned(
  chosen: readonly SheetCells[],
  knowledge: Knowledge,
  comesBack: boolean,
  progress: Progress,
): Promise<readonly SheetPlan[]> {
  const pause = slices(progress, "Writing the formulas anew");
  const plans: SheetPlan[] = [];
  for (const sheet of chosen) {
    const plan = new NativePlan(sheet, knowledge, comesBack);
    for (const cell of eachFormula(sheet)) {
      plan.add(cell);
      await pause(shareDown(sheet, cell), 1);
    }
    plans.push(plan.done);
  }
  return plans;
}

/** One going over the sheets: what it was planned from, and what came of it. */
interface Round {
  readonly sheets: readonly SheetCells[];
  readonly handed: readonly Conversion[];
  readonly report: HandOverReport;
  /** Cells that somebody wrote to meanwhile. */
  readonly left: readonly Conversion[];
}

/** The first of a formula's cells, as the key of them all: they are written all or none. */
function grouped(conversions: readonly Conversion[], sheets: readonly SheetCells[]): readonly CellChange[] {
  const held = new Contents(sheets);
  let group = "";
  return conversions.map(({ original, native, value, sheet, row, column }, i): CellChange => {
    const isPart = original === "";
    if (!isPart) group = placeKey({ sheet, row, column });
    const fills = isPart || conversions[i + 1]?.original === "";
    return {
      ...{ sheet, row, column, before: asPlanned(original) },
      after: native === value ? native : asPlanned(native),
      ...(fills ? { group } : {}),
      ...(isPart ? { shows: held.at({ sheet, row, column }).value } : {}),
    };
  });
}

/** What is to be handed over, before anything is written. */
async function prepared(
  context: RequestContext,
  names: readonly string[],
  comesBack: boolean,
  progress: Progress,
) {
  progress.report(0, 1, "Reading the workbook");
  const sheets = await readCalculatedSheets(context, progress);
  const knowledge = new Knowledge(sheets);
  const chosen = sheets.filter((sheet) => names.includes(sheet.name) && !isHandedList(sheet));
  const plans = await planned(chosen, knowledge, comesBack, progress);
  const convertible = plans.filter(({ stopped }) => stopped.length === 0);
  const conversions = convertible.flatMap((plan) => plan.conversions);
  const inputs = convertible.flatMap((plan) => plan.inputs);
  const finding = findingLimits(inputs, (home) => knowledge.from(home));
  const wanted = await inSlices(finding, slices(progress, "Finding the limits of inputs"));
  const limits: readonly WantedLimit[] = await readValidations(context, wanted);
  const open = chosen.filter((_, i) => plans[i]?.stopped.length === 0).map(({ name }) => name);
  const ruled = await rulesToHand(context, open, comesBack);
  const outward: ReachingOut[] = [];
  const looking = slices(progress, "Looking for what reaches out");
  for (const sheet of chosen) if (open.includes(sheet.name)) outward.push(await reachingOut(sheet, looking));
  const changed = [...conversions, ...ruled.handed.map(({ rule }) => rule)];
  await refuseProtected(context, [...changed, ...limits]);
  const named = await namesToHand(context, open, comesBack);
  const isEmpty = open.length === 0 || changed.length + named.handed.length === 0;
  return {
    ...{ sheets, chosen, conversions, limits, ruled, named, isEmpty },
    elsewhere: outward.flatMap(({ left }) => left),
    forGood: comesBack ? outward.flatMap(({ forGood }) => forGood) : [],
    asValues: convertible.flatMap((plan) => plan.asValues),
    unchecked: convertible.flatMap((plan) => plan.unchecked),
    stopped: plans.flatMap(({ stopped }) => stopped),
  };
}
type Prepared = Awaited<ReturnType<typeof prepared>>;

interface Written {
  readonly handed: readonly Conversion[];
  readonly left: readonly Conversion[];
  /** Cells that have their function still, since the host refused their native form or made something else of it. */
  readonly stays: readonly CellNote[];
  /** Rules that the host does not take. */
  readonly refusedRules: readonly CellNote[];
}

/** Writes what was prepared, each part of it said in the mark before. */
async function write(
  context: RequestContext,
  mark: Mark,
  { sheets, chosen, conversions, limits, ruled, named, asValues, unchecked }: Prepared,
  comesBack: boolean,
  progress: Progress,
): Promise<Written> {
  const change = await ChangeSet.begin(context, mark);
  const changes = grouped(conversions, sheets);
  await mark.step({ kind: "limits", limits: limits.map((one) => ({ ...one, ...placeIn(change, one) })) });
  await writeLimits(context, limits);
  if (comesBack) {
    const pause = slices(progress, writingNatively);
    const earlier: CellPlace[] = [];
    for (const sheet of chosen) addAll(earlier, await carriersOn(sheet, pause));
    await mark.step({
      kind: "carriers",
      sheets: chosen.map(({ name }) => change.idOf(name)),
      earlier: earlier.map(({ sheet, row, column }) => [change.idOf(sheet), row, column] as const),
    });
  } else await change.mark(mark, changes);
  const { places, refused } = await change.write(changes, progress, writingNatively);
  const isLeft = (one: Conversion): boolean => places.has(placeKey(one));
  const left = conversions.filter((one) => isLeft(one) && !refused.has(placeKey(one)));
  const written = conversions.filter((one) => !isLeft(one));
  await writeNames(context, change, mark, named.handed);
  const refusedRules = await writeRules(context, change, mark, ruled.handed, progress);
  const disturbed = new Set(left.map(({ sheet }) => sheet));
  const putBack = await putRight(context, change, written, sheets, disturbed, progress);
  const taken = new Set(putBack.flatMap(({ cells }) => cells).map(placeKey));
  const handed = written.filter((one) => !taken.has(placeKey(one)));
  const isIn = isAmong(handed);
  const told = [asValues.filter(isIn), unchecked.filter(isIn)] as const;
  const noted = told.flat().map((note) => placeIn(change, note));
  if (noted.length > 0) await mark.step({ kind: "notes", cells: noted });
  await addValueNotes(context, ...told);
  const stays = [...refusedNotes(conversions, refused), ...putBack.map((one) => one.told)];
  return { handed, left, stays, refusedRules };
}

const refusedNotes = (
  conversions: readonly Conversion[],
  refused: ReadonlyMap<string, string>,
): readonly CellNote[] =>
  conversions.flatMap(({ sheet, row, column, original }) => {
    const why = refused.get(placeKey({ sheet, row, column }));
    return why === undefined || original === ""
      ? []
      : [
          {
            ...{ sheet, address: cellAddress(row, column), formula: original },
            note: `Excel refused its native form: ${why}`,
          },
        ];
  });

/** Whether what is said of a cell is true of it still. */
function isAmong(handed: readonly Conversion[]): (note: CellNote) => boolean {
  const cells = new Set(handed.map(placeKey));
  return ({ sheet, address }) => {
    const block = blockOf(address);
    return block !== undefined && cells.has(placeKey({ sheet, row: block.top, column: block.left }));
  };
}

/** Goes over the sheets once. */
async function handOnce(
  context: RequestContext,
  mark: Mark,
  names: readonly string[],
  way: HandOverWay,
  progress: Progress,
): Promise<Round> {
  const { comesBack } = ways[way];
  const plan = await prepared(context, names, comesBack, progress);
  const { sheets, conversions, limits, ruled, named, isEmpty } = plan;
  pass(progress, 0, conversions.length, writingNatively);
  const nothing: Written = { handed: [], left: [], stays: [], refusedRules: [] };
  const written = isEmpty ? nothing : await write(context, mark, plan, comesBack, progress);
  const { handed, left, stays, refusedRules } = written;
  const isIn = isAmong(handed);
  return {
    ...{ sheets, handed, left },
    report: {
      converted: handed.length,
      asValues: plan.asValues.filter(isIn),
      limits: limits.length,
      unchecked: plan.unchecked.filter(isIn),
      stopped: plan.stopped,
      putBack: stays,
      rules: ruled.handed.length - refusedRules.length,
      names: isEmpty ? 0 : named.handed.length,
      left: [...plan.elsewhere, ...named.left, ...ruled.left, ...refusedRules],
      bare: [...plan.forGood.filter(isIn), ...named.bare, ...exceptThose(ruled.bare, refusedRules)],
      meanwhile: [],
    },
  };
}

const writingNatively = "Writing native formulas";

const wasChanged = "Somebody wrote there while it was handed over: it is as they left it.";

/** What several goings over the sheets came to. */
function together(all: readonly Round[]): HandOverReport {
  const reports = all.map(({ report }) => report);
  const last = reports[reports.length - 1];
  const every = <T>(part: (report: HandOverReport) => readonly T[]): readonly T[] => reports.flatMap(part);
  return {
    converted: reports.reduce((sum, { converted }) => sum + converted, 0),
    limits: reports.reduce((sum, { limits }) => sum + limits, 0),
    rules: reports.reduce((sum, { rules }) => sum + rules, 0),
    names: reports.reduce((sum, { names }) => sum + names, 0),
    asValues: every(({ asValues }) => asValues),
    unchecked: every(({ unchecked }) => unchecked),
    stopped: last?.stopped ?? [],
    putBack: every(({ putBack }) => putBack),
    left: last?.left ?? [],
    bare: every(({ bare }) => bare),
    meanwhile: all.flatMap(({ left }) =>
      left
        .filter(({ original }) => original !== "")
        .map(({ sheet, row, column, original }) => ({
          ...{ sheet, address: cellAddress(row, column), formula: original, note: wasChanged },
        })),
    ),
  };
}

/** Hands the chosen sheets over. A sheet with a cell that cannot be converted is left as it was. */
export const handOver = (
  names: readonly string[],
  progress: Progress,
  way: HandOverWay = "native formulas",
): Promise<HandOverReport> =>
  asWork(
    { work: "hand-over" },
    async (context, mark) => {
      const ids = await idsOf(context, names);
      mark.isDoneAnewWith({ sheets: ids, way });
      const all: Round[] = [];
      do all.push(await handOnce(context, mark, await namesOf(context, ids), way, progress));
      while (all.length < rounds && (all[all.length - 1]?.left.length ?? 0) > 0);
      const report = together(all);
      const list =
        ways[way].comesBack && report.converted > 0 ? await listed(context, mark, all, progress) : undefined;
      return list === undefined ? report : { ...report, list };
    },
    carriersBack,
  );

/** The list of what was typed is a help and no more: where it cannot be written, the hand-over stands. */
async function listed(
  context: RequestContext,
  mark: Mark,
  all: readonly Round[],
  progress: Progress,
): Promise<HandOverReport["list"]> {
  const sheets = all[all.length - 1]?.sheets ?? [];
  const names = new Set(all.flatMap(({ handed }) => handed.map(({ sheet }) => sheet)));
  const handedOn = sheets.filter(({ name }) => names.has(name));
  const pause = slices(progress, listingWhat);
  const earlier: CellPlace[] = [];
  if (all.length > 1) for (const sheet of handedOn) addAll(earlier, await carriersOn(sheet, pause));
  const conversions = [...(all[all.length - 1]?.handed ?? []), ...earlier];
  const from = mark.steps.length;
  try {
    const lines = await inSlices(linesFor(handedOn, conversions), pause);
    return { sheet: await writeHandedList(context, mark, lines, progress) };
  } catch (error) {
    if (error instanceof Stopped) throw error;
    await speakAnew(async (anew) => {
      await stepsBack(anew, mark, undefined, from);
    });
    await mark.forget(from);
    return { why: asSentence(error) };
  }
}

/** Where formulas stand that carry their originals. */
async function carriersOn(sheet: SheetCells, pause: Pause): Promise<readonly CellPlace[]> {
  const found: CellPlace[] = [];
  for (const cell of eachFormula(sheet)) {
    if (mentionsCarrier(cell.formula)) found.push({ sheet: sheet.name, row: cell.row, column: cell.column });
    await pause(shareDown(sheet, cell), 1);
  }
  return found;
}

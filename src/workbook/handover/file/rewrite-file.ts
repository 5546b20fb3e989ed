/**
 * A copy of the workbook, handed over: the file's own bytes, rewritten part by part. The estimator's workbook stays as
 * it is, and whatever is not a formula of ours stays as it was in the copy, charts, pictures and macros included.
 */
import { findingLimits } from "../../writing";
import type { CellNote, Pause, Progress } from "../../host";
import { inSlices, slices } from "../../host";
import type { CellText } from "./cell-notes";
import { addNotes } from "./cell-notes";
import { FileKnowledge } from "./file-knowledge";
import { LooseFormulas } from "./loose-formulas";
import type { PackageParts } from "./package-parts";
import { calculateOnLoad } from "./workbook-part";
import { childrenNamed } from "./xml-walk";
import type { FileCopyOptions } from "./copy-options";
import { comesBack } from "./copy-options";
import type { Planned } from "./planned-sheets";
import { cellsAtATime, plannedSheet } from "./planned-sheets";
import { addLimits } from "./add-limits";
import { dropOurOwn } from "./drop-sheet";
import { isOurs, openFile } from "./opened-file";
import type { ReadSheet } from "./opened-file";
import { isListable, listed, noList } from "./typed-list";

export interface FileCopy {
  readonly bytes: Uint8Array;
  /** Macros go along; a host opens such a file from disk alone. */
  readonly hasMacros: boolean;
  readonly converted: number;
  /** Formulas outside the cells that are native now: of names, formats, validations and charts. */
  readonly convertedElsewhere: number;
  readonly asValues: readonly CellNote[];
  readonly unchecked: readonly CellNote[];
  readonly limits: number;
  /** Sheets with such a cell are in the copy as they were. */
  readonly stopped: readonly CellNote[];
  /** Formulas that stay as they were: of another workbook, and of names, formats, validations and charts without a native form. */
  readonly left: readonly CellNote[];
  /** Formulas that are converted and are not brought back. */
  readonly bare: readonly CellNote[];
  /** The sheet that lists what was typed. */
  readonly list?: string;
}

/** A chain of calculation that names a cell without a formula is a damaged file: without one, a host makes its own. */
function dropCalculationChain(parts: PackageParts, workbook: string): void {
  const chain = parts.relationsOf(workbook).find(({ type }) => type === "calcChain");
  if (chain !== undefined) parts.remove(workbook, chain);
}

/** What a cell says of itself whose value nothing works out any more. */
const staysText = (why: string): string =>
  `This no longer follows all of its inputs: ${why.charAt(0).toLowerCase()}${why.slice(1)}`;

/** Writes what was settled into a sheet's part. */
async function writeCells(
  { sheet, part, writes }: Planned,
  loose: LooseFormulas,
  mode: FileCopyOptions["mode"],
  pause: Pause,
): Promise<void> {
  for (const [i, { row, column, native, isValue, partOfSpill }] of writes.entries()) {
    if (i % cellsAtATime === 0) await pause(i, writes.length);
    if (!isValue && typeof native === "string" && native.startsWith("="))
      part.putFormula(row, column, native, partOfSpill);
    else part.putValue(row, column, native);
  }
  if (mode === "values") part.dropFormulas();
  loose.inSheet(sheet.name, part.looseFormulas, (one, native) => part.putLoose(one, native));
}

/** What cells of a sheet are to say of themselves. */
function notesOn({ plan }: Planned): readonly CellText[] {
  const frozen = plan.asValues.filter(({ isFrozen }) => isFrozen);
  const plainer = plan.unchecked.filter(({ isPlainer }) => isPlainer);
  return [
    ...frozen.map(({ address, note }) => ({ address, text: staysText(note) })),
    ...plainer.map(({ address, note }) => ({ address, text: note })),
  ];
}

async function plansFor(
  sheets: readonly ReadSheet[],
  knowledge: FileKnowledge,
  mode: FileCopyOptions["mode"],
  progress: Progress,
): Promise<readonly Planned[]> {
  const plans: Planned[] = [];
  for (const one of sheets)
    plans.push(await plannedSheet(one, knowledge, mode, slices(progress, `Converting ${one.sheet.name}`)));
  return plans;
}

/** The handed-over copy of a workbook file, made in slices: it can be stopped at any time, and nothing is half made. */
export async function rewriteFile(
  bytes: Uint8Array,
  options: FileCopyOptions,
  progress: Progress,
): Promise<FileCopy> {
  const { mode } = options;
  const opened = await openFile(bytes, options, progress);
  const { parts, workbook } = opened;
  const read = opened.sheets.filter((one) => !isOurs(one));
  const knowledge = new FileKnowledge(read.map(({ sheet, part: { held } }) => ({ name: sheet.name, held })));
  const chosen = read.filter(({ sheet }) => options.sheets?.includes(sheet.name) ?? true);
  const plans = await plansFor(chosen, knowledge, mode, progress);
  const convertible = plans.filter(({ plan }) => plan.stopped.length === 0);
  const loose = new LooseFormulas(comesBack(mode));
  for (const one of convertible)
    await writeCells(one, loose, mode, slices(progress, `Rewriting ${one.sheet.name}`));
  const writing = slices(progress, "Writing the file");
  const inputs = convertible.flatMap(({ plan }) => plan.inputs);
  const wanted = await inSlices(
    findingLimits(inputs, (home) => knowledge.from(home)),
    writing,
  );
  const limits = await addLimits(read, wanted, writing);
  for (const one of convertible) addNotes(parts, one.part, notesOn(one));
  const changed = read.filter(({ part }) => part.isChanged);
  for (const { sheet, part } of changed) parts.rewrite(sheet.part, (text) => part.rewritten(text));
  rewriteAround(parts, workbook, convertible, loose, mode === "values");
  if (changed.length > 0) dropCalculationChain(parts, workbook);
  if (changed.some(({ part }) => part.wantsCalculation)) calculateOnLoad(parts, workbook);
  if (options.withoutOurOwn === true) dropOurOwn(opened);
  const isListed = options.withList === true && comesBack(mode);
  const isTooLong = isListed && !isListable(convertible);
  const list = isListed && !isTooLong ? await listed(parts, workbook, convertible, progress) : undefined;
  for (const { part } of opened.sheets) part.held.forget();
  return {
    bytes: await parts.close(writing),
    hasMacros: /macroEnabled/i.test(parts.contentTypeOf(workbook)),
    converted: convertible.reduce((sum, { writes, plain }) => sum + writes.length + plain, 0),
    convertedElsewhere: loose.converted,
    asValues: convertible.flatMap(({ plan }) => plan.asValues),
    unchecked: convertible.flatMap(({ plan }) => plan.unchecked),
    limits,
    stopped: plans.flatMap(({ plan }) => plan.stopped),
    left: [
      ...convertible.flatMap(({ elsewhere }) => elsewhere),
      ...loose.left,
      ...(isTooLong ? [noList] : []),
    ],
    bare: [...convertible.flatMap(({ forGood }) => forGood), ...loose.bare],
    ...(list === undefined ? {} : { list }),
  };
}

/** Names, tables and charts of the sheets that are handed over. */
function rewriteAround(
  parts: PackageParts,
  workbook: string,
  handed: readonly Planned[],
  loose: LooseFormulas,
  asValues: boolean,
): void {
  const order = childrenNamed(workbook, parts.text(workbook), "sheets", "sheet");
  const isHanded = (name: string | undefined): boolean => handed.some(({ sheet }) => sheet.name === name);
  loose.inNames(parts, workbook, (index) => {
    const name = order[index]?.attributes.name;
    return isHanded(name) ? name : undefined;
  });
  for (const { sheet } of handed) {
    for (const { type, target } of parts.relationsOf(sheet.part)) {
      if (!parts.has(target)) continue;
      if (type === "table") loose.inTable(parts, target, sheet.name, asValues);
      if (type !== "drawing") continue;
      for (const { type: drawn, target: chart } of parts.relationsOf(target))
        if (drawn === "chart" && parts.has(chart)) loose.inChart(parts, chart, sheet.name);
    }
  }
}

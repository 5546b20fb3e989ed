/** Names that stand for formulas of ours: of the workbook, and of the sheets that are handed over or brought back. */
import { asTyped } from "../formulas";
import { mentionsCarrier } from "./carrier";
import type { Mark } from "../marks";
import type { ChangeSet } from "./change-set";
import type { HandedLoose } from "./loose-native";
import { looseHanded, rooms } from "./loose-native";
import type { ReturningLoose } from "./loose-return";
import { looseReturn } from "./loose-return";
import type { CellNote, RequestContext } from "../host";
import type { Trust } from "./trusted";

interface NamedFormula {
  /** Empty for a name of the whole workbook. */
  readonly sheet: string;
  readonly name: string;
  readonly formula: string;
}

interface NameChange extends NamedFormula {
  readonly after: string;
}

export type HandedNames = HandedLoose<NameChange>;

export type ReturningNames = ReturningLoose<NameChange>;

/** Every name of the workbook and of these sheets with its formula. */
export async function namedFormulas(
  context: RequestContext,
  sheets: readonly string[],
): Promise<readonly NamedFormula[]> {
  const { names, worksheets } = context.workbook;
  const all = [
    { sheet: "", names },
    ...sheets.map((sheet) => ({ sheet, names: worksheets.getItem(sheet).names })),
  ];
  for (const one of all) one.names.load("items/name,items/formula");
  await context.sync();
  return all.flatMap(({ sheet, names: { items } }) =>
    items.map(({ name, formula }) => ({ sheet, name, formula: String(formula) })),
  );
}

const noted = ({ sheet, name, formula }: NamedFormula, note: string): CellNote => ({
  sheet,
  address: `name ${name}`,
  formula,
  note,
});

/** What the names that call our functions are handed over as. */
export async function namesToHand(
  context: RequestContext,
  sheets: readonly string[],
  comesBack: boolean,
): Promise<HandedNames> {
  const handed: NameChange[] = [];
  const left: CellNote[] = [];
  const bare: CellNote[] = [];
  for (const one of await namedFormulas(context, sheets)) {
    const formula = asTyped(one.formula);
    const outcome = looseHanded(formula, rooms.cell, comesBack);
    if (outcome === undefined) continue;
    if ("left" in outcome) left.push(noted(one, outcome.left));
    else {
      handed.push({ ...one, after: outcome.written });
      if (outcome.bare !== undefined) bare.push(noted(one, outcome.bare));
    }
  }
  return { handed, left, bare };
}

export const notTrusted = "What it carries is no formula of ours that may come back: it is left.";

/** The names that are handed over, those that still are as they were written apart from those that are not. */
export async function returningNames(
  context: RequestContext,
  sheets: readonly string[],
  trust: Trust,
  editedToo: boolean,
): Promise<ReturningNames> {
  const restored: NameChange[] = [];
  const stays: CellNote[] = [];
  for (const one of await namedFormulas(context, sheets)) {
    const back = looseReturn(one.formula, trust, one.sheet);
    if (back === undefined) {
      if (mentionsCarrier(one.formula)) stays.push(noted(one, notTrusted));
      continue;
    }
    const { original, isUnchanged } = back;
    if (isUnchanged || editedToo) restored.push({ ...one, after: original });
    else stays.push(noted({ ...one, formula: original }, "Edited since the hand-over, and left as it is."));
  }
  return { restored, stays };
}

/** Gives names other formulas, where nobody has given them others meanwhile. */
export async function writeNames(
  context: RequestContext,
  change: ChangeSet,
  mark: Mark,
  changes: readonly NameChange[],
): Promise<void> {
  if (changes.length === 0) return;
  const { names, worksheets } = context.workbook;
  const named = changes.map((one) => ({ ...one, sheet: one.sheet === "" ? "" : change.idOf(one.sheet) }));
  await mark.step({ kind: "names", names: named });
  const found = named.map((one) => {
    const home = one.sheet === "" ? names : worksheets.getItem(one.sheet).names;
    const item = home.getItemOrNullObject(one.name);
    item.load("formula");
    return { one, item };
  });
  await context.sync();
  for (const { one, item } of found)
    if (!item.isNullObject && String(item.formula) === one.formula) item.formula = one.after;
  await context.sync();
}

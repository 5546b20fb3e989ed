/** Rules of conditional formats and limits that call our functions: handed over, and brought back. */
import { asTyped, holdsCalls } from "../../formulas";
import type { CellNote, Progress, RequestContext } from "../../host";
import { codeOf, pass } from "../../host";
import { mentionsCarrier } from "../carrier";
import type { Mark, Step } from "../../marks";
import type { ChangeSet } from "../change-set";
import type { HandedLoose } from "../loose-native";
import { looseNative, rooms } from "../loose-native";
import type { ReturningLoose } from "../loose-return";
import { looseReturn } from "../loose-return";
import { notTrusted } from "../names";
import { sameContent } from "../same-content";
import type { Trust } from "../trusted";
import { conditionalFormats } from "./conditional-formats";
import type { Rule } from "./rule";
import { validations } from "./validations";

type Changed = Extract<Step, { kind: "rules" }>["rules"][number];

export interface RuleChange {
  readonly rule: Rule;
  readonly after: readonly string[];
}

export type HandedRules = HandedLoose<RuleChange>;

export type ReturningRules = ReturningLoose<RuleChange>;

/** The rules on these sheets with a wanted formula. */
export async function rulesOn(
  context: RequestContext,
  sheets: readonly string[],
  wanted: (formula: string) => boolean,
): Promise<readonly Rule[]> {
  if (sheets.length === 0) return [];
  const formats = await conditionalFormats(context, sheets, wanted);
  return [...formats, ...(await validations(context, sheets, wanted))];
}

const callsOurs = (formula: string): boolean => holdsCalls(asTyped(formula));

const noted = ({ sheet, address }: Rule, formula: string, note: string): CellNote => ({
  sheet,
  address,
  formula,
  note,
});

const roomOf = ({ kind }: Rule) => (kind === "validation" ? rooms.validation : rooms.format);

/** What the rules of some sheets are handed over as; one is handed over whole or not at all. */
export async function rulesToHand(
  context: RequestContext,
  sheets: readonly string[],
  comesBack: boolean,
): Promise<HandedRules> {
  const handed: RuleChange[] = [];
  const left: CellNote[] = [];
  const bare: CellNote[] = [];
  for (const rule of await rulesOn(context, sheets, callsOurs)) {
    const after: string[] = [];
    const said: CellNote[] = [];
    let refused: CellNote | undefined;
    for (const formula of rule.formulas) {
      if (!callsOurs(formula)) {
        after.push(formula);
        continue;
      }
      const typed = asTyped(formula);
      const outcome = looseNative(typed, roomOf(rule), comesBack);
      if ("why" in outcome) refused ??= noted(rule, typed, `Left as it was: ${outcome.why}`);
      else {
        after.push(outcome.written);
        if (outcome.bare !== undefined) said.push(noted(rule, typed, outcome.bare));
      }
    }
    if (refused !== undefined) left.push(refused);
    else {
      handed.push({ rule, after });
      bare.push(...said);
    }
  }
  return { handed, left, bare };
}

/** The rules that are handed over, those that still are as they were written apart from those that are not. */
export async function returningRules(
  context: RequestContext,
  sheets: readonly string[],
  trust: Trust,
  editedToo: boolean,
): Promise<ReturningRules> {
  const restored: RuleChange[] = [];
  const stays: CellNote[] = [];
  for (const rule of await rulesOn(context, sheets, mentionsCarrier)) {
    const back = rule.formulas.map((formula) => ({
      formula,
      found: looseReturn(formula, trust, rule.sheet),
    }));
    const foreign = back.find(({ formula, found }) => found === undefined && mentionsCarrier(formula));
    if (foreign !== undefined) {
      stays.push(noted(rule, foreign.formula, notTrusted));
      continue;
    }
    const edited = back.find(({ found }) => found?.isUnchanged === false)?.found;
    if (edited !== undefined && !editedToo)
      stays.push(noted(rule, edited.original, "Edited since the hand-over, and left as it is."));
    else restored.push({ rule, after: back.map(({ formula, found }) => found?.original ?? formula) });
  }
  return { restored, stays };
}

/** The host's word for a formula that it does not take. */
const notTaken = "InvalidArgument";

const compares = (held: readonly string[], meant: readonly string[]): boolean =>
  held.length === meant.length && meant.every((one, i) => one === held[i] || sameContent(one, held[i] ?? ""));

/** Gives rules their formulas again, where they have others now. */
async function putBack(context: RequestContext, rules: readonly Rule[]): Promise<void> {
  const looks = rules.map((rule) => ({ rule, look: rule.look() }));
  await context.sync();
  for (const { rule, look } of looks) if (!compares(look(), rule.formulas)) rule.put(rule.formulas);
  await context.sync();
}

/** Gives rules their formulas back that were given others; one that somebody changed since stays as it is. */
export async function rulesBack(
  context: RequestContext,
  sheets: readonly string[],
  changed: readonly Changed[],
): Promise<readonly never[]> {
  const given = new Set(changed.flatMap(({ to }) => to));
  const there = await rulesOn(context, sheets, (formula) => given.has(formula));
  const free = new Set(there);
  for (const { rule, was, to } of changed) {
    const found = [...free].find(({ kind, formulas }) => kind === rule && compares(formulas, to));
    if (found === undefined) continue;
    free.delete(found);
    found.put(was);
  }
  await context.sync();
  return [];
}

/**
 * Gives rules other formulas, where nobody has given them others meanwhile. A rule that the host does not take, or makes
 * something else of, is left as it was and answered.
 */
export async function writeRules(
  context: RequestContext,
  change: ChangeSet,
  mark: Mark,
  changes: readonly RuleChange[],
  progress: Progress,
): Promise<readonly CellNote[]> {
  if (changes.length === 0) return [];
  await mark.step({
    kind: "rules",
    sheets: [...new Set(changes.map(({ rule }) => change.idOf(rule.sheet)))],
    rules: changes.map(({ rule: { kind, formulas }, after }) => ({ rule: kind, was: formulas, to: after })),
  });
  const refused: CellNote[] = [];
  for (const [i, { rule, after }] of changes.entries()) {
    pass(progress, i, changes.length, "Writing the rules of formats and limits");
    const look = rule.look();
    await context.sync();
    const isAsRead = compares(look(), rule.formulas);
    const why = isAsRead ? await putAndLook(context, rule, after) : "somebody changed it meanwhile.";
    if (why === undefined) continue;
    if (isAsRead) await putBack(context, [rule]);
    const [formula = ""] = rule.formulas.filter((one) => one.startsWith("="));
    refused.push(noted(rule, formula, `Left as it was: ${why}`));
  }
  return refused;
}

/** Why a rule did not become what was meant, if it did not. */
async function putAndLook(
  context: RequestContext,
  rule: Rule,
  after: readonly string[],
): Promise<string | undefined> {
  try {
    rule.put(after);
    const look = rule.look();
    await context.sync();
    return compares(look(), after) ? undefined : "the workbook made something else of it.";
  } catch (error) {
    if (codeOf(error) !== notTaken) throw error;
    return "the workbook does not take the formula in a rule.";
  }
}

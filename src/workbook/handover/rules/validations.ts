/** The limits of cells that compare with formulas. */
import { translateFormulaToR1C1 } from "@borgar/fx";
import type { Block, DataValidation, DataValidationRule, Place, RequestContext } from "../../host";
import { blockOf, forNow, inPortions, localAddress, shortAddress } from "../../host";
import { halved, mixed, noRule } from "../../writing";
import type { Rule } from "./rule";

/** The kinds of limits that compare with one figure or two. */
const comparing = ["wholeNumber", "decimal", "textLength", "date", "time"] as const;

function formulasOf(rule: DataValidationRule): readonly string[] {
  if (rule.custom !== undefined) return [rule.custom.formula];
  if (rule.list !== undefined) return typeof rule.list.source === "string" ? [rule.list.source] : [];
  const basic = comparing.map((kind) => rule[kind]).find((one) => one !== undefined);
  return [basic?.formula1, basic?.formula2].filter((one) => one !== undefined && one !== "").map(String);
}

function withFormulas(
  rule: DataValidationRule,
  [formula1 = "", formula2]: readonly string[],
): DataValidationRule {
  if (rule.custom !== undefined) return { custom: { formula: formula1 } };
  if (rule.list !== undefined) return { list: { ...rule.list, source: formula1 } };
  for (const kind of comparing) {
    const basic = rule[kind];
    if (basic === undefined) continue;
    // A figure stays a figure, as the host gave it.
    const given = { ...(isFormula(formula1) && { formula1 }), ...(isFormula(formula2) && { formula2 }) };
    return { [kind]: { ...basic, ...given } };
  }
  return rule;
}

/** Some ranges of a sheet. */
interface Ranges {
  readonly sheet: string;
  readonly addresses: readonly string[];
}

const isFormula = (text: string | undefined): boolean => text?.startsWith("=") ?? false;

/** The validation of some ranges, for one request. */
function validationOf(context: RequestContext, { sheet, addresses }: Ranges): DataValidation {
  const worksheet = context.workbook.worksheets.getItem(sheet);
  const [only = "A1"] = addresses;
  return addresses.length === 1
    ? forNow(worksheet.getRange(only)).dataValidation
    : forNow(worksheet.getRanges(addresses.join(","))).dataValidation;
}

/** A limit and where it holds. */
interface Held {
  readonly ranges: Ranges;
  readonly validation: DataValidation;
}

const read = (context: RequestContext, all: readonly Ranges[], what: string): Promise<readonly Held[]> =>
  inPortions(context, all, (ranges) => {
    const validation = validationOf(context, ranges);
    validation.load(what);
    return { ranges, validation };
  });

/** The places with limits, each with one rule for all its cells. */
async function limitedPlaces(context: RequestContext, sheets: readonly string[]): Promise<readonly Place[]> {
  const limited = sheets.map((sheet) => {
    const range = context.workbook.worksheets.getItem(sheet).getRange();
    const cells = range.getSpecialCellsOrNullObject("DataValidations");
    cells.load("areaCount");
    return { sheet, cells };
  });
  await context.sync();
  const some = limited.filter(({ cells }) => !cells.isNullObject);
  for (const { cells } of some) cells.areas.load("items/address");
  if (some.length > 0) await context.sync();
  let asked: readonly Place[] = some.flatMap(({ sheet, cells }) =>
    cells.areas.items.map(({ address }) => ({ sheet, address: localAddress(address) })),
  );
  const found: Place[] = [];
  while (asked.length > 0) {
    const ranges = asked.map(({ sheet, address }) => ({ sheet, addresses: [address] }));
    const types = await read(context, ranges, "type");
    asked = asked.flatMap((place, i) => {
      const type = String(types[i]?.validation.type);
      if (mixed.has(type)) return halved(place);
      if (type !== noRule) found.push(place);
      return [];
    });
  }
  return found;
}

/** What a limit says, and what it says whichever cell it is seen from. */
function meaningsOf({ ranges: { sheet, addresses }, validation }: Held): readonly [string, string] {
  const { rule, errorAlert, prompt, ignoreBlanks } = validation;
  const [cell = ""] = addresses[0]?.split(":") ?? [];
  const formulas = formulasOf(rule).map((one) => (isFormula(one) ? translateFormulaToR1C1(one, cell) : one));
  const said = (one: DataValidationRule): string =>
    JSON.stringify([sheet, one, errorAlert, prompt, ignoreBlanks]);
  return [said(rule), said(withFormulas(rule, formulas))];
}

/** One under another, or side by side, two blocks are one. */
function joined(one: Block, other: Block): Block | undefined {
  const sameColumns = one.left === other.left && one.right === other.right;
  if (sameColumns && one.bottom + 1 === other.top) return { ...one, bottom: other.bottom };
  const sameRows = one.top === other.top && one.bottom === other.bottom;
  if (sameRows && one.right + 1 === other.left) return { ...one, right: other.right };
  return undefined;
}

/** The cells of some ranges in as few ranges. */
function wholeRanges(addresses: readonly string[]): readonly string[] {
  const whole: Block[] = [];
  const blocks = addresses.flatMap((address) => blockOf(address) ?? []);
  for (const block of blocks.sort((a, b) => a.top - b.top || a.left - b.left)) {
    let next = block;
    for (let at = 0; at < whole.length; at++) {
      const before = whole[at];
      const both = before === undefined ? undefined : joined(before, next);
      if (both === undefined) continue;
      whole.splice(at, 1);
      [next, at] = [both, -1];
    }
    whole.push(next);
  }
  return whole.map(shortAddress);
}

/**
 * Limits were told apart by halves of what holds them. What says the same, and is one by the host's own word, is
 * joined again: only as a whole it is certain from which cell it is seen.
 */
async function asTheyWere(context: RequestContext, held: readonly Held[]): Promise<readonly Held[]> {
  const groups = new Map<string, Set<Held>>();
  for (const one of held) {
    const [text, relative] = meaningsOf(one);
    const group = groups.get(text) ?? groups.get(relative) ?? new Set();
    group.add(one);
    groups.set(text, group);
    groups.set(relative, group);
  }
  const several = [...new Set(groups.values())].filter(({ size }) => size > 1).map((group) => [...group]);
  const asked = several.map(([first, ...more]) => ({
    sheet: first?.ranges.sheet ?? "",
    addresses: wholeRanges([first, ...more].flatMap((one) => one?.ranges.addresses ?? [])),
  }));
  const types = await read(context, asked, "type");
  const isOne = types.map(({ validation }) => !mixed.has(String(validation.type)));
  const taken = new Set(several.filter((_, i) => isOne[i]).flat());
  const whole = await read(
    context,
    asked.filter((_, i) => isOne[i]),
    everything,
  );
  return [...whole, ...held.filter((one) => !taken.has(one))];
}

const everything = "rule,errorAlert,prompt,ignoreBlanks";

/** A rule that is set anew may lose what is said beside it: that is set again. */
function asRule(
  context: RequestContext,
  { ranges, validation: { rule, errorAlert, prompt, ignoreBlanks } }: Held,
): Rule {
  return {
    sheet: ranges.sheet,
    address: `validation of ${ranges.addresses.join(" ")}`,
    kind: "validation",
    formulas: formulasOf(rule),
    put: (formulas) => {
      const validation = validationOf(context, ranges);
      validation.rule = withFormulas(rule, formulas);
      validation.errorAlert = errorAlert;
      validation.prompt = prompt;
      validation.ignoreBlanks = ignoreBlanks;
    },
    look: () => {
      const validation = validationOf(context, ranges);
      validation.load("rule");
      return () => formulasOf(validation.rule);
    },
  };
}

/** Sheet by sheet, from the top and from the left. */
const inReadingOrder = (sheets: readonly string[]) => {
  const placeOf = ({ ranges: { sheet, addresses } }: Held): readonly number[] => {
    const { top = 0, left = 0 } = blockOf(addresses[0] ?? "") ?? {};
    return [sheets.indexOf(sheet), top, left];
  };
  return (one: Held, other: Held): number => {
    const others = placeOf(other);
    const apart = placeOf(one).map((at, i) => at - (others[i] ?? 0));
    return apart.find((by) => by !== 0) ?? 0;
  };
};

/** Those whose formulas are wanted. */
export async function validations(
  context: RequestContext,
  sheets: readonly string[],
  wanted: (formula: string) => boolean,
): Promise<readonly Rule[]> {
  const places = await limitedPlaces(context, sheets);
  const ranges = places.map(({ sheet, address }) => ({ sheet, addresses: wholeRanges([address]) }));
  const held = await read(context, ranges, everything);
  const calling = held.filter(({ validation }) => formulasOf(validation.rule).some(wanted));
  const whole = await asTheyWere(context, calling);
  return [...whole].sort(inReadingOrder(sheets)).map((one) => asRule(context, one));
}

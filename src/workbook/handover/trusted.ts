/**
 * Whether a formula that a file names as its original may be put into the workbook. The file may have been anywhere: the
 * formula is taken for a stranger's until every function in it only calculates and every reference of it is in here.
 */
import type { NamedItemCollection, RequestContext } from "../host";
import type { ReferenceStruct } from "@borgar/fx";
import { parse, parseA1Ref, parseStructRef, tokenize } from "@borgar/fx";
import { functionNamed, namespace } from "../../engine/catalogue";
import { beyondLimits, callsIn, parameterAt, tooMuch } from "../formulas";
import { referencesOf, stepsOf } from "./carrier";
import { calculates } from "./plain-functions";
import { readable } from "./same-content";

const key = (text: string): string => text.toLowerCase();

/** What is in the workbook that a formula can refer to. */
export interface InWorkbook {
  readonly sheets: readonly string[];
  /** Names with their formulas; those of one sheet with the sheet. */
  readonly names: readonly { readonly sheet?: string; readonly name: string; readonly formula: string }[];
  readonly tables: readonly { readonly name: string; readonly columns: readonly string[] }[];
}

/** Asks the workbook what a formula can refer to. */
export async function readInWorkbook(context: RequestContext): Promise<InWorkbook> {
  const { worksheets, names, tables } = context.workbook;
  worksheets.load("items/name");
  names.load("items/name,items/formula");
  tables.load("items/name");
  await context.sync();
  const own = worksheets.items.map(({ name, names: onSheet }) => ({ sheet: name, names: onSheet }));
  for (const one of own) one.names.load("items/name,items/formula");
  const heads = tables.items.map((table) => ({ name: table.name, head: table.getHeaderRowRange() }));
  for (const { head } of heads) head.load("values");
  await context.sync();
  const listed = ({ items }: NamedItemCollection, sheet?: string) =>
    items.map(({ name, formula }) => ({
      name,
      formula: String(formula),
      ...(sheet === undefined ? {} : { sheet }),
    }));
  return {
    sheets: worksheets.items.map(({ name }) => name),
    names: [...listed(names), ...own.flatMap((one) => listed(one.names, one.sheet))],
    tables: heads.map(({ name, head }) => ({ name, columns: (head.values[0] ?? []).map(String) })),
  };
}

const cannotBeRead = "The original that it names cannot be read as a formula of ours";

/** Half of a letter that takes two places. */
const halfALetter = /[\uD800-\uDFFF]/u;

const canBeParsed = (formula: string): boolean => {
  try {
    parse(readable(formula));
    return true;
  } catch {
    return false;
  }
};

/** No formula that a host takes has more brackets inside one another, those of functions and others together. */
const deepestBrackets = 128;

function bracketDepth(formula: string): number {
  let [depth, deepest] = [0, 0];
  for (const { type, value } of tokenize(formula)) {
    if (type !== "operator") continue;
    if (value === "(") deepest = Math.max(deepest, ++depth);
    if (value === ")") depth--;
  }
  return deepest;
}

/** A call that the host would not take, and with it everything that is written along with it. */
const isOverfull = (formula: string): boolean =>
  callsIn(formula).some(
    (call) => call.given.length > 0 && parameterAt(call, call.given.length - 1) === undefined,
  );

/** What is wrong with a formula as a formula, whatever it refers to. */
const isMisshapen = (formula: string): boolean =>
  tooMuch(formula) !== undefined ||
  beyondLimits(formula) !== undefined ||
  halfALetter.test(formula) ||
  bracketDepth(formula) > deepestBrackets ||
  !canBeParsed(formula) ||
  isOverfull(formula);

const isOurFunction = (name: string): boolean =>
  name.startsWith(`${namespace}.`) && functionNamed(name) !== undefined;

/** A function that does more than calculate, a step's own name aside. */
export function reachingFunction(formula: string): string | undefined {
  const steps = stepsOf(formula);
  return tokenize(formula)
    .filter(({ type }) => type === "func")
    .map(({ value }) => value.toUpperCase())
    .find((name) => !isOurFunction(name) && !calculates(name) && !steps.has(name));
}

const lost = /#REF!$/;

/** Judges formulas by what is in the workbook that they would come back to. */
export class Trust {
  private readonly sheets: ReadonlySet<string>;
  private readonly names: ReadonlyMap<string, string>;
  private readonly tables: ReadonlyMap<string, ReadonlySet<string>>;

  constructor({ sheets, names, tables }: InWorkbook) {
    this.sheets = new Set(sheets.map(key));
    this.names = new Map(
      names.map(({ sheet, name, formula }) => [
        key(sheet === undefined ? name : `${sheet}!${name}`),
        formula,
      ]),
    );
    this.tables = new Map(tables.map(({ name, columns }) => [key(name), new Set(columns.map(key))]));
  }

  /** Why an original that stands on a sheet is not put back in any case, in a sentence; undefined where it may be. */
  whyNot(original: string, home: string): string | undefined {
    if (isMisshapen(original)) return `${cannotBeRead}: it is left.`;
    const why = this.reaching(original, home, new Set());
    return why === undefined ? undefined : `The original that it names ${why}: it is left.`;
  }

  private reaching(formula: string, home: string, seen: ReadonlySet<string>): string | undefined {
    const reaching = reachingFunction(formula);
    if (reaching !== undefined) return `calls ${reaching}, which may do more than calculate`;
    for (const reference of referencesOf(formula)) {
      const why = lost.test(reference) ? undefined : this.outside(reference, home, seen);
      if (why !== undefined) return why;
    }
    return undefined;
  }

  /** What is wrong with a reference. */
  private outside(reference: string, home: string, seen: ReadonlySet<string>): string | undefined {
    const beyond = `refers to ${reference}, which is not in this workbook`;
    const table = parseStructRef(reference);
    if (table !== undefined) return this.hasTable(table) ? undefined : beyond;
    const parsed = parseA1Ref(reference, { allowTernary: true });
    if (parsed === undefined || (parsed.context?.length ?? 0) > 1) return beyond;
    const [sheet] = parsed.context ?? [];
    // From one sheet to another, as in First:Last!B2.
    const named = sheet === undefined ? [] : this.sheets.has(key(sheet)) ? [sheet] : sheet.split(":");
    if (!named.every((one) => this.sheets.has(key(one)))) return beyond;
    return "name" in parsed ? this.named(parsed.name, sheet ?? home, seen, beyond) : undefined;
  }

  private hasTable({ context, table = "", columns = [] }: ReferenceStruct): boolean {
    if ((context?.length ?? 0) > 0) return false;
    // Without a table it is the one that the cell stands in: which of them has such columns is enough to know.
    const among = table === "" ? [...this.tables.values()] : [this.tables.get(key(table))];
    return among.some((heads) => heads !== undefined && columns.every((column) => heads.has(key(column))));
  }

  /** A name may stand for a formula, which is judged like any other. */
  private named(name: string, home: string, seen: ReadonlySet<string>, beyond: string): string | undefined {
    const own = key(`${home}!${name}`);
    const formula = this.names.get(own) ?? this.names.get(key(name));
    if (formula === undefined) return beyond;
    if (seen.has(own)) return undefined;
    return this.reaching(formula, home, new Set([...seen, own]));
  }
}

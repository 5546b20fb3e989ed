/**
 * Names in formulas. The spreadsheet has one name of a kind in a workbook, the host one for each sheet and one for the
 * workbook: a name in a formula is that of the sheet before it, or else of the formula's own sheet, or else the
 * workbook's. What is written is spelled as the spreadsheet knows that name, and what is read as the host would.
 */
import { HostError } from "../protocol/host-error";
import { parseZone, quotedSheetName } from "./area";
import { nameKey } from "./kept-names";
import type { KeptName } from "./kept-names";
import type { Getters } from "./spreadsheet";

export interface NameInside {
  /** As the spreadsheet knows it. */
  readonly inner: string;
  /** As people call it. */
  readonly shown: string;
  readonly scope: KeptName["scope"];
}

/** The names of a workbook and its sheets. */
export interface NamesInside {
  readonly all: () => readonly NameInside[];
  /** The id of a sheet by its name. */
  readonly sheet: (name: string) => string | null;
  readonly sheetName: (id: string) => string;
}

interface NamedBook {
  readonly getters: Getters;
  kept(key: string): unknown;
  findSheet(name: string): string | null;
  sheetName(id: string): string;
}

export const namesIn = (book: NamedBook): NamesInside => ({
  all: () =>
    book.getters.getNamedRanges().map(({ name }) => {
      const kept = book.kept(nameKey(name)) as KeptName | undefined;
      return { inner: name, shown: kept?.shown ?? name, scope: kept?.scope ?? null };
    }),
  sheet: (name) => book.findSheet(name),
  sheetName: (id) => book.sheetName(id),
});

/** Texts and columns of tables are passed over; a call, a cell and a sheet's name are no names. */
const NAME =
  /"(?:[^"]|"")*"|\[[^\]]*\]|#REF!?|(?<![\p{L}\p{N}_.$'!:])(?:('(?:[^']|'')+'|[\p{L}\p{N}_.]+)!)?([\p{L}_\\][\p{L}\p{N}_.]*)(?![\p{L}\p{N}_.$!:[]|\s*\()|'(?:[^']|'')*'/gu;

/** What is put after a name that another sheet alone has, so that the spreadsheet does not know it either. */
const UNKNOWN = ".0";

type Spell = (qualifier: string | undefined, name: string) => string | undefined;

/** What would lie beyond the sheet is no cell and may be a name, such as TAX2026. */
function isCells(text: string): boolean {
  try {
    return parseZone(text) !== null;
  } catch (reason) {
    if (reason instanceof HostError) return false;
    throw reason;
  }
}

const respelled = (formula: string, spell: Spell): string =>
  formula.replace(NAME, (part, qualifier?: string, name?: string) =>
    name === undefined || isCells(name) || /^(?:true|false)$/i.test(name)
      ? part
      : (spell(qualifier, name) ?? part),
  );

/** Most formulas have no name in them, and some have many: the names are asked for once, where there is any. */
function once<T>(ask: () => T): () => T {
  let asked: { readonly answer: T } | undefined;
  return () => (asked ??= { answer: ask() }).answer;
}

const same = (one: string, other: string): boolean => one.toLowerCase() === other.toLowerCase();

const unquoted = (qualifier: string): string =>
  qualifier.startsWith("'") ? qualifier.slice(1, -1).replaceAll("''", "'") : qualifier;

/** The name that is meant on a sheet: its own, or else the workbook's. */
export const nameOn = (
  names: readonly NameInside[],
  shown: string,
  sheetId: string,
): NameInside | undefined => {
  const called = names.filter((one) => same(one.shown, shown));
  return called.find(({ scope }) => scope === sheetId) ?? called.find(({ scope }) => scope === null);
};

/** A formula of a sheet as the spreadsheet is to have it. */
export function withInnerNames(formula: string, sheetId: string, inside: NamesInside): string {
  const all = once(inside.all);
  return respelled(formula, (qualifier, name) => {
    const names = all();
    const home = qualifier === undefined ? sheetId : inside.sheet(unquoted(qualifier));
    if (home === null) return undefined;
    const meant = nameOn(names, name, home);
    if (meant !== undefined) return meant.inner;
    return qualifier === undefined && names.some(({ inner }) => same(inner, name))
      ? name + UNKNOWN
      : undefined;
  });
}

/** A formula of a sheet as the host would have it. */
export function withShownNames(formula: string, sheetId: string, inside: NamesInside): string {
  const all = once(inside.all);
  return respelled(formula, (qualifier, name) => {
    if (qualifier !== undefined) return undefined;
    const names = all();
    const found = names.find(({ inner }) => same(inner, name));
    if (found === undefined) {
      const known = name.endsWith(UNKNOWN) ? name.slice(0, -UNKNOWN.length) : undefined;
      return names.some(({ inner }) => inner === known) ? known : undefined;
    }
    const { scope, shown } = found;
    return scope === null || scope === sheetId
      ? shown
      : `${quotedSheetName(inside.sheetName(scope))}!${shown}`;
  });
}

/** A formula with some names of the spreadsheet in the place of others, by their small letters. */
export const withOtherNames = (formula: string, others: ReadonlyMap<string, string>): string =>
  respelled(formula, (qualifier, name) =>
    qualifier === undefined ? others.get(name.toLowerCase()) : undefined,
  );

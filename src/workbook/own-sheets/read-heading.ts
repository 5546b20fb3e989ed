/** A heading taken apart: its words, the unit it states, and what it may mean. */
import type { Meaning } from "./column-words";
import { dimensionsOf, fillers, meanings, strangers } from "./column-words";
import type { NamedUnit } from "./unit-words";
import { plainText, unitSpelled } from "./unit-words";

export interface Heading {
  readonly text: string;
  readonly words: readonly string[];
  readonly unit?: NamedUnit;
  /** What stands where a unit belongs and is none that is known. */
  readonly unread?: string;
}

/** Words that are a unit only at the end of a heading: in, and the letters that stand for one. */
const shy = /^([a-z"#]|in|min)$/;
/** A unit only before a stroke: "hard seed" is measured in something else. */
const neverAlone = /^seeds?$/;
const mostUnitWords = 7;

interface Found {
  readonly unit: NamedUnit;
  readonly from: number;
  readonly to: number;
}

/** The longest run of words that spells a unit, the last such run where several are as long. */
function unitAmong(words: readonly string[]): Found | undefined {
  for (let many = Math.min(mostUnitWords, words.length); many > 0; many--) {
    for (let from = words.length - many; from >= 0; from--) {
      const text = words.slice(from, from + many).join(" ");
      if (neverAlone.test(text) || (shy.test(text) && from + many < words.length)) continue;
      const unit = unitSpelled(text);
      if (unit !== undefined) return { unit, from, to: from + many };
    }
  }
  return undefined;
}

const wordsOf = (text: string): readonly string[] =>
  text
    .replace(/[%$€£"]/g, (sign) => ` ${sign} `)
    .split(/[\s,;:–—]+|(?<![a-z])-|-(?![a-z])/)
    .filter((word) => word !== "");

/** The first bracket of a text that is closed, and what is inside it. */
function bracketIn(text: string): readonly [bracket: string, inside: string] {
  const open = text.search(/[([{]/);
  const inside = open < 0 ? -1 : text.slice(open + 1).search(/[)\]}]/);
  return inside < 0
    ? ["", ""]
    : [text.slice(open, open + inside + 2), text.slice(open + 1, open + 1 + inside)];
}

/** A longer text is no heading: a remark, or something that got there by mistake. */
const longestHeading = 255;

/** `below` is what stands in a row of units under the heading. */
export function readHeading(text: string, below = ""): Heading {
  if (text.length > longestHeading) return { text, words: [] };
  const plain = plainText(text);
  const under = below === "" ? undefined : unitSpelled(below);
  const [bracket, inside] = bracketIn(plain);
  const outside = bracket === "" ? plain : plain.replace(bracket, " ");
  const bracketed = inside === "" ? undefined : unitSpelled(inside.replace(/^in /, ""));
  if (bracketed !== undefined) return { text, words: wordsOf(outside), unit: bracketed };
  const words = wordsOf(outside);
  const found = unitAmong(words);
  if (found !== undefined) {
    const rest = [...words.slice(0, found.from), ...words.slice(found.to)];
    return { text, words: rest, unit: found.unit };
  }
  if (under !== undefined) return { text, words, unit: under };
  const unread = inside.trim() !== "" ? inside.trim() : below.trim();
  return { text, words, ...(unread === "" ? {} : { unread }) };
}

export interface Candidate {
  readonly meaning: Meaning;
  /** The trade word that was found; empty where the unit alone decided. */
  readonly word: string;
  /** More words found are a better reading. */
  readonly strength: number;
  /** Set where the heading has words besides that are not understood. */
  readonly beside?: true;
}

const singular = (word: string): string => (word.length > 3 ? word.replace(/s$/, "") : word);

/** Where a phrase stands in the words, and how well: as it is written before with or without a plural. */
function matched(words: readonly string[], phrase: string): { strength: number; rest: string[] } | undefined {
  const wanted = wordsOf(phrase);
  for (let from = 0; from + wanted.length <= words.length; from++) {
    const part = words.slice(from, from + wanted.length);
    if (!part.every((word, i) => singular(word) === singular(wanted[i] ?? ""))) continue;
    const exact = part.every((word, i) => word === wanted[i]);
    const rest = [...words.slice(0, from), ...words.slice(from + wanted.length)];
    return { strength: wanted.length * 2 + (exact ? 1 : 0), rest };
  }
  return undefined;
}

const hasStranger = (words: readonly string[]): boolean => words.some((word) => strangers.has(word));

function byWord(meaning: Meaning, { words, unit }: Heading): Candidate | undefined {
  const found = meaning.words.flatMap((word) => {
    const match = matched(words, word);
    if (match === undefined) return [];
    if (onlyFillers(match.rest)) return [{ meaning, word, strength: match.strength }];
    // Without a unit to bear it out, a word among others that are not understood says too little.
    return unit === undefined ? [] : [{ meaning, word, strength: match.strength, beside: true as const }];
  });
  return found.sort((a, b) => b.strength - a.strength)[0];
}

const onlyFillers = (words: readonly string[]): boolean => words.every((word) => fillers.has(word));

const fitsUnit = (meaning: Meaning, unit: NamedUnit | undefined): boolean =>
  unit === undefined || dimensionsOf(meaning).includes(unit.dimension);

const strongest = (candidates: readonly Candidate[]): number =>
  candidates.reduce((best, { strength }) => Math.max(best, strength), 0);

/**
 * What the words say. A word that fits several meanings decides nothing beside words that are not understood: the
 * rate of a herbicide must not become one of seed.
 */
function worded(heading: Heading): readonly Candidate[] {
  const all = meanings.flatMap((meaning) => byWord(meaning, heading) ?? []);
  const best = strongest(all);
  const found = all.filter(({ meaning, strength }) => strength === best && fitsUnit(meaning, heading.unit));
  return found.length > 1 && found.some(({ beside }) => beside === true) ? [] : found;
}

function byUnitOf({ unit, words }: Heading): readonly Candidate[] {
  if (unit === undefined) return [];
  const isAlone = onlyFillers(words);
  return meanings
    .filter((meaning) => fitsUnit(meaning, unit))
    .filter(({ byUnit }) => byUnit === "beside any word" || (byUnit === "alone" && isAlone))
    .map((meaning) => ({ meaning, word: "", strength: 0 }));
}

/** What a heading may mean, the best readings only, in the order of the dictionary; empty where nothing fits. */
export function candidatesFor(heading: Heading): readonly Candidate[] {
  if (hasStranger(heading.words)) return [];
  // A known word beside a unit that cannot belong to it is a mistake to be told, not to be guessed around.
  const isKnown = meanings.some((meaning) => byWord(meaning, heading) !== undefined);
  return isKnown ? worded(heading) : byUnitOf(heading);
}

/** The meaning that a heading's words name most plainly, where its unit can belong to none that they name. */
export function contradicted(heading: Heading): Meaning | undefined {
  if (hasStranger(heading.words)) return undefined;
  const all = meanings.flatMap((meaning) => byWord(meaning, heading) ?? []);
  const named = all.filter(({ strength }) => strength === strongest(all));
  return named.some(({ meaning }) => fitsUnit(meaning, heading.unit)) ? undefined : named[0]?.meaning;
}

/** A heading or a label taken apart: its words, the unit it states, and what it may be about. */
import type { Concept, Meaning } from "./concepts";
import { dimensionsOf, fillers, meaningNamed, meanings, strangers, things } from "./concepts";
import { isTaken } from "./feeds";
import type { NamedUnit } from "./spelled-units";
import { mayBeginUnit, plainText, unitSpelled } from "./units";

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
  const begins = words.map(mayBeginUnit);
  for (let many = Math.min(mostUnitWords, words.length); many > 0; many--) {
    for (let from = words.length - many; from >= 0; from--) {
      if (begins[from] !== true) continue;
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

interface Phrase {
  readonly meaning: Meaning;
  readonly word: string;
  readonly wanted: readonly string[];
}

const phrases: readonly Phrase[] = meanings.flatMap((meaning) =>
  meaning.words.map((word) => ({ meaning, word, wanted: wordsOf(word) })),
);
const byFirstWord = new Map<string, Phrase[]>();
for (const phrase of phrases) {
  const first = singular(phrase.wanted[0] ?? "");
  const known = byFirstWord.get(first);
  if (known === undefined) byFirstWord.set(first, [phrase]);
  else known.push(phrase);
}

/** How well a phrase stands at a place: as it is written before with or without a plural; 0 where it does not. */
function strengthAt(words: readonly string[], from: number, { wanted }: Phrase): number {
  let isExact = true;
  for (const [i, one] of wanted.entries()) {
    const word = words[from + i];
    if (word === undefined || singular(word) !== singular(one)) return 0;
    isExact &&= word === one;
  }
  return wanted.length * 2 + (isExact ? 1 : 0);
}

const isFiller = (word: string): boolean => fillers.has(word);
const isStranger = (word: string): boolean => strangers.has(word);

const fitsUnit = (meaning: Meaning, unit: NamedUnit | undefined): boolean => {
  if (unit === undefined) return true;
  const dimensions = dimensionsOf(meaning);
  return dimensions.length === 0 || dimensions.includes(unit.dimension);
};

/** What the words of a heading name, the best reading of each meaning, in the order of the dictionary. */
function named({ words, unit }: Heading): readonly Candidate[] {
  const best = new Map<Meaning, Candidate>();
  for (let from = 0; from < words.length; from++) {
    for (const phrase of byFirstWord.get(singular(words[from] ?? "")) ?? []) {
      const { meaning, word, wanted } = phrase;
      const strength = strengthAt(words, from, phrase);
      if (strength === 0 || strength <= (best.get(meaning)?.strength ?? 0)) continue;
      const rest = [...words.slice(0, from), ...words.slice(from + wanted.length)];
      const isBeside = !rest.every(isFiller);
      // Without a unit to bear it out, a word among others that are not understood says too little.
      if (rest.some(isStranger) || (isBeside && unit === undefined)) continue;
      best.set(meaning, { meaning, word, strength, ...(isBeside ? { beside: true } : {}) });
    }
  }
  return meanings.flatMap((meaning) => best.get(meaning) ?? []);
}

const strongest = (candidates: readonly Candidate[]): number =>
  candidates.reduce((best, { strength }) => Math.max(best, strength), 0);

/**
 * What the words say. A word that fits several meanings decides nothing beside words that are not understood: the
 * rate of a herbicide must not become one of seed.
 */
function worded(all: readonly Candidate[], unit: NamedUnit | undefined): readonly Candidate[] {
  const best = strongest(all);
  const found = all.filter(({ meaning, strength }) => strength === best && fitsUnit(meaning, unit));
  return found.length > 1 && found.some(({ beside }) => beside === true) ? [] : found;
}

function byUnitOf({ unit, words }: Heading): readonly Candidate[] {
  if (unit === undefined || words.some(isStranger)) return [];
  const isAlone = words.every(isFiller);
  return meanings
    .filter(({ byUnit }) => byUnit === "beside any word" || (byUnit === "alone" && isAlone))
    .filter((meaning) => fitsUnit(meaning, unit))
    .map((meaning) => ({ meaning, word: "", strength: 0 }));
}

/** What stands after a comma or a colon is a remark where one thing alone is named before it. */
function beforeRemark({ text, words, unit }: Heading): readonly Candidate[] {
  const end = unit === undefined && !words.some(isStranger) ? text.search(/[,:]/) : -1;
  if (end < 0 || text.length > longestHeading) return [];
  const found = named(readHeading(text.slice(0, end)));
  return found.length === 1 ? found : [];
}

/** What a heading may mean, the best readings only, in the order of the dictionary; empty where nothing fits. */
export function candidatesFor(heading: Heading): readonly Candidate[] {
  // Where a unit is stated that it cannot have, what no function takes is not meant.
  const all = named(heading).filter(({ meaning }) => isTaken(meaning) || fitsUnit(meaning, heading.unit));
  // A known word beside a unit that cannot belong to it is a mistake to be told, not to be guessed around.
  if (all.length > 0) return worded(all, heading.unit);
  const byUnit = byUnitOf(heading);
  return byUnit.length > 0 ? byUnit : beforeRemark(heading);
}

/** The meaning that a heading's words name most plainly, where its unit can belong to none that they name. */
export function contradicted(heading: Heading): Meaning | undefined {
  const all = named(heading).flatMap((one) => asTaken(one, undefined) ?? []);
  const best = all.filter(({ strength }) => strength === strongest(all));
  return best.some(({ meaning }) => fitsUnit(meaning, heading.unit)) ? undefined : best[0]?.meaning;
}

/** A candidate as functions take its column, or undefined where none does. */
export function asTaken(candidate: Candidate, unit: NamedUnit | undefined): Candidate | undefined {
  const { meaning } = candidate;
  if (isTaken(meaning)) return candidate;
  const isA = meaning.isA === undefined ? undefined : meaningNamed(meaning.isA);
  if (isA !== undefined) return { ...candidate, meaning: isA };
  const mayBe = meaning.mayBe === undefined ? undefined : meaningNamed(meaning.mayBe);
  return mayBe === undefined || unit === undefined || !fitsUnit(mayBe, unit)
    ? undefined
    : { ...candidate, meaning: mayBe, strength: 0 };
}

/** Whether a heading tells by itself what it is about: a unit alone does not, nor the name of a thing without a unit. */
export const isPlain = ({ word, beside }: Candidate, { unit }: Heading): boolean =>
  word !== "" && beside === undefined && (unit !== undefined || !things.has(word));

export interface HeadingRead {
  readonly heading: Heading;
  readonly candidates: readonly Candidate[];
}

const reads = new Map<string, HeadingRead>();
/** So many texts are kept as they were read, since a sheet says the same ones over and over. */
const mostKept = 2000;

/** A heading and what it may mean, with what stands in a row of units under it. */
export function headingRead(text: string, below = ""): HeadingRead {
  const key = `${text}\n${below}`;
  const known = reads.get(key);
  if (known !== undefined) return known;
  const heading = readHeading(text, below);
  const read = { heading, candidates: candidatesFor(heading) };
  if (reads.size >= mostKept) reads.clear();
  if (key.length <= longestHeading) reads.set(key, read);
  return read;
}

/** What a head or a label is about by itself, or nothing that is known here. */
export const conceptOf = (text: string): Concept | undefined => headingRead(text).candidates[0]?.meaning.id;

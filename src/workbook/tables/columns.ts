/** What the columns of a table are about, all of them together: where a heading may mean several things, the others decide. */
import { isOptional } from "../../engine/parameters";
import type { Concept, Meaning } from "./concepts";
import { isText } from "./concepts";
import { argumentsOf, conceptFor, rowFunctions } from "./feeds";
import type { Candidate, HeadingRead } from "./headings";
import { asTaken } from "./headings";
import type { Held } from "./rows";

/** A column of words is no column of figures, and the other way round; an empty one may become either. */
export const suits = (meaning: Meaning, { hasWords, hasFigures }: Held): boolean =>
  isText(meaning) ? hasWords || !hasFigures : hasFigures || !hasWords;

/** What a heading may mean over what its column holds. */
export const suited = ({ candidates }: HeadingRead, held: Held): readonly Candidate[] =>
  candidates.filter(({ meaning }) => suits(meaning, held));

export interface ColumnDraft {
  readonly read: HeadingRead;
  readonly candidates: readonly Candidate[];
}

interface Pick {
  readonly candidate: Candidate;
  /** As functions take it. */
  readonly taken: Candidate | undefined;
}

/** How many of the columns stand in a function that has all it needs. */
function usedBy(taken: readonly (Candidate | undefined)[]): number {
  const there = new Set(taken.map((one) => one?.meaning.id));
  const used = new Set<Concept>();
  for (const definition of rowFunctions) {
    const given = argumentsOf(definition).map((parameter) => {
      const concept = conceptFor(definition, parameter);
      return { parameter, concept: there.has(concept) ? concept : undefined };
    });
    if (given.some(({ parameter, concept }) => concept === undefined && !isOptional(parameter))) continue;
    for (const { concept } of given) if (concept !== undefined) used.add(concept);
  }
  return used.size;
}

/** A function takes one column of a meaning: the one that names it most plainly, of equals the first. */
export function withoutDoubles(
  picks: readonly (Candidate | undefined)[],
): readonly (Candidate | undefined)[] {
  const best = new Map<Meaning, number>();
  for (const [i, pick] of picks.entries()) {
    if (pick === undefined) continue;
    const before = picks[best.get(pick.meaning) ?? -1];
    if (before === undefined || pick.strength > before.strength) best.set(pick.meaning, i);
  }
  return picks.map((pick, i) => (pick !== undefined && best.get(pick.meaning) === i ? pick : undefined));
}

/** In a table with more headings than this that may mean several things, each is taken for the first of them. */
const mostOpen = 200;

/** Where a heading may mean several things, the reading that uses most of the table is taken. */
export function resolved(drafts: readonly ColumnDraft[]): readonly (Candidate | undefined)[] {
  const all = drafts.map(({ read, candidates }) =>
    candidates.map((candidate): Pick => ({ candidate, taken: asTaken(candidate, read.heading.unit) })),
  );
  const picks = all.map((own) => own[0]);
  // A meaning that several columns have is used as soon as one of them is.
  const score = () => usedBy(picks.map((pick) => pick?.taken));
  const open = [...all.entries()].filter(([, own]) => own.length > 1);
  for (let sweep = 0; open.length <= mostOpen && sweep < 2; sweep++) {
    for (const [i, own] of open) {
      let best = score();
      for (const one of own) {
        const before = picks[i];
        picks[i] = one;
        if (score() > best) best = score();
        else picks[i] = before;
      }
    }
  }
  return picks.map((pick) => pick?.candidate);
}

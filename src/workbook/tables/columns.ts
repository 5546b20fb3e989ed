/** What the columns of a table are about, all of them together: where a heading may mean several things, the others decide. */
import { isOptional } from "../../engine/parameters";
import type { Meaning } from "./concepts";
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
  const used = new Set<Candidate>();
  for (const definition of rowFunctions) {
    const given = argumentsOf(definition).map((parameter) => ({
      parameter,
      column: taken.find((one) => one?.meaning.id === conceptFor(definition, parameter)),
    }));
    if (given.some(({ parameter, column }) => column === undefined && !isOptional(parameter))) continue;
    for (const { column } of given) if (column !== undefined) used.add(column);
  }
  return used.size;
}

/** A function takes one column of a meaning: the one that names it most plainly, of equals the first. */
export function withoutDoubles(
  picks: readonly (Candidate | undefined)[],
): readonly (Candidate | undefined)[] {
  return picks.map((pick, i) => {
    const rival = picks.some(
      (other, j) =>
        pick !== undefined &&
        other?.meaning === pick.meaning &&
        (other.strength > pick.strength || (other.strength === pick.strength && j < i)),
    );
    return rival ? undefined : pick;
  });
}

/** Where a heading may mean several things, the reading that uses most of the table is taken. */
export function resolved(drafts: readonly ColumnDraft[]): readonly (Candidate | undefined)[] {
  const all = drafts.map(({ read, candidates }) =>
    candidates.map((candidate): Pick => ({ candidate, taken: asTaken(candidate, read.heading.unit) })),
  );
  const picks = all.map((own) => own[0]);
  const score = () => usedBy(withoutDoubles(picks.map((pick) => pick?.taken)));
  const isOpen = all.some((own) => own.length > 1);
  for (let sweep = 0; isOpen && sweep < 2; sweep++) {
    all.forEach((own, i) => {
      let best = score();
      for (const one of own) {
        const before = picks[i];
        picks[i] = one;
        if (score() > best) best = score();
        else picks[i] = before;
      }
    });
  }
  return picks.map((pick) => pick?.candidate);
}

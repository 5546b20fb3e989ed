/** What each column of a table is taken for, in which unit and why; what a person chose instead comes first. */
import type { UnitSystem } from "../../engine/units";
import type {
  Candidate,
  ColumnDraft,
  Heading,
  Held,
  Meaning,
  NamedUnit,
  OwnColumn,
  OwnTable,
} from "../tables";
import {
  asTaken,
  contradicted,
  dimensionsOf,
  headingRead,
  hundredths,
  isTaken,
  isText,
  meanings,
  nothingHeld,
  plainShare,
  resolved,
  saidOf,
  suited,
  suits,
  unitsOf,
  withoutDoubles,
} from "../tables";

/** What a person said about a column, by the ids and names that the choices carry. */
export interface Chosen {
  /** Empty where the column is to be left out. */
  readonly meaning?: string;
  readonly unit?: string;
}

export type Choices = ReadonlyMap<number, Chosen>;

export interface UnderstoodColumn extends OwnColumn {
  /** Undefined where the column is left out. */
  readonly meaning: Meaning | undefined;
  /** Undefined where the unit is taken from the function. */
  readonly unit: NamedUnit | undefined;
  /** Why, or why not, in a sentence. */
  readonly why: string;
  /** Set where the column cannot be used before a unit is chosen. */
  readonly unsure?: true;
  readonly choices: {
    readonly meanings: readonly Meaning[];
    readonly units: readonly NamedUnit[];
  };
}

export interface Understanding {
  readonly table: OwnTable;
  readonly columns: readonly UnderstoodColumn[];
  /** The unit system that most of the columns are in. */
  readonly system: UnitSystem;
  /** What a person should know about the table as a whole. */
  readonly notes: readonly string[];
}

interface Draft extends OwnColumn, ColumnDraft {
  readonly held: Held;
  /** The candidates as functions take them, and what else the heading means to them, whatever the column holds. */
  readonly fitting: readonly Candidate[];
  readonly meant: readonly Candidate[];
  readonly chosen: Chosen;
}

/** Candidates as functions take them. */
const asFunctionsTake = (candidates: readonly Candidate[], { unit }: Heading): readonly Candidate[] =>
  candidates.flatMap((candidate) => asTaken(candidate, unit) ?? []);

function draftOf(table: OwnTable, column: OwnColumn, choices: Choices): Draft {
  const read = headingRead(column.heading, column.unitBelow);
  const held = table.held.get(column.column) ?? nothingHeld;
  const chosen = choices.get(column.column) ?? {};
  const candidates =
    chosen.meaning === undefined
      ? suited(read, held)
      : meanings
          .filter(({ id }) => id === chosen.meaning)
          .map((meaning) => ({ meaning, word: "", strength: 9 }));
  const fitting = asFunctionsTake(candidates, read.heading);
  return {
    ...column,
    read,
    held,
    chosen,
    candidates,
    fitting,
    meant: asFunctionsTake(read.candidates, read.heading),
  };
}

interface UnitTaken {
  readonly unit: NamedUnit | undefined;
  readonly why: string;
  readonly unsure?: true;
}

function shareUnit({ read: { heading: read }, held, chosen }: Draft): UnitTaken {
  const picked = [plainShare, hundredths].find(({ name }) => name === chosen.unit);
  if (picked !== undefined) return { unit: picked, why: `in ${picked.name}, as you chose` };
  const { above, between } = held;
  if (!held.hasFigures && read.unit !== undefined) {
    return {
      unit: undefined,
      unsure: true,
      why: "it holds no figures yet: choose whether they will be per cent or shares",
    };
  }
  if (above !== undefined && between !== undefined) {
    return {
      unit: undefined,
      unsure: true,
      why: `it holds ${above} as well as ${between}, so per cent and shares seem mixed: choose which it is`,
    };
  }
  if (above !== undefined)
    return { unit: hundredths, why: "its figures are per cent such as 85, so each is divided by 100" };
  const stated = read.unit === undefined ? "" : ", as a cell formatted in per cent holds them";
  return { unit: plainShare, why: `its figures are shares from 0 to 1${stated}` };
}

function unitTaken(draft: Draft, meaning: Meaning): UnitTaken {
  const { chosen } = draft;
  const read = draft.read.heading;
  const dimensions = dimensionsOf(meaning);
  if (dimensions.includes("share")) return shareUnit(draft);
  if (dimensions.every((dimension) => dimension === "text" || dimension === "count" || dimension === "money"))
    return { unit: undefined, why: "" };
  const picked = dimensions.flatMap(unitsOf).find(({ name }) => name === chosen.unit);
  if (picked !== undefined) return { unit: picked, why: `in ${saidOf(picked)}, as you chose` };
  if (read.unit !== undefined && dimensions.includes(read.unit.dimension)) {
    return { unit: read.unit, why: `in ${saidOf(read.unit)}` };
  }
  if (read.unread !== undefined) {
    return {
      unit: undefined,
      unsure: true,
      why: `“${read.unread}” is no unit known here: choose the unit`,
    };
  }
  return {
    unit: undefined,
    why: "no unit is stated, so it is taken in the unit of the function: check that",
  };
}

const sentence = (...parts: readonly string[]): string => {
  const text = parts.filter((part) => part !== "").join("; ");
  return text === "" ? "" : `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
};

function whyNot(draft: Draft, taken: readonly (Candidate | undefined)[], drafts: readonly Draft[]): string {
  const { fitting, meant, chosen } = draft;
  const read = draft.read.heading;
  if (chosen.meaning === "") return "Left out, as you chose.";
  const [first] = fitting;
  if (first !== undefined) {
    const rival = taken.findIndex((one) => one?.meaning === first.meaning);
    return `Left out: ${drafts[rival]?.heading ?? "another column"} is taken for the ${first.meaning.name} already.`;
  }
  const wrong = contradicted(read);
  if (wrong !== undefined && read.unit !== undefined)
    return `Left out: the ${wrong.name} is not measured in ${saidOf(read.unit)}.`;
  const [worded] = meant;
  if (worded !== undefined) {
    return `Left out: it reads as the ${worded.meaning.name}, but holds ${isText(worded.meaning) ? "no words" : "no figures"}.`;
  }
  return "Left out: the heading does not tell what it is. Choose, if it is needed.";
}

function whyTaken(draft: Draft, { meaning, word }: Candidate, unit: UnitTaken): string {
  const others = draft.fitting.filter((other) => other.meaning !== meaning);
  const because =
    draft.chosen.meaning !== undefined
      ? "as you chose"
      : word === ""
        ? `from its unit ${draft.read.heading.unit?.name ?? ""} alone`
        : `the heading says “${word}”`;
  const doubt =
    others.length === 0
      ? ""
      : `it could also be the ${others.map((other) => other.meaning.name).join(" or the ")}`;
  return sentence(because, unit.why, doubt);
}

/** Everything that the column could be: what its unit allows, or all where it states none. */
const meaningChoices = ({ read, held, fitting }: Draft): readonly Meaning[] => {
  const likely = new Set(fitting.map(({ meaning }) => meaning));
  const { unit } = read.heading;
  return meanings.filter(
    (meaning) =>
      likely.has(meaning) ||
      (isTaken(meaning) &&
        suits(meaning, held) &&
        (unit === undefined || dimensionsOf(meaning).includes(unit.dimension))),
  );
};

function understood(
  draft: Draft,
  pick: Candidate | undefined,
  taken: readonly (Candidate | undefined)[],
  drafts: readonly Draft[],
): UnderstoodColumn {
  const { column, heading, unitBelow } = draft;
  const about = { column, heading, unitBelow };
  const choices = {
    meanings: meaningChoices(draft),
    units: pick === undefined ? [] : unitChoices(pick.meaning),
  };
  if (pick === undefined) {
    return { ...about, meaning: undefined, unit: undefined, why: whyNot(draft, taken, drafts), choices };
  }
  const unit = unitTaken(draft, pick.meaning);
  const why = whyTaken(draft, pick, unit);
  const unsure = unit.unsure === undefined ? {} : { unsure: unit.unsure };
  return { ...about, meaning: pick.meaning, unit: unit.unit, why, ...unsure, choices };
}

const unitChoices = (meaning: Meaning): readonly NamedUnit[] => dimensionsOf(meaning).flatMap(unitsOf);

/** Columns that state a unit of one system. */
const inSystem = (columns: readonly UnderstoodColumn[], system: UnitSystem): readonly UnderstoodColumn[] =>
  columns.filter(({ meaning, unit }) => meaning !== undefined && unit?.system === system);

const listed = (columns: readonly UnderstoodColumn[]): string =>
  columns.map(({ heading, unit }) => `${heading} in ${unit === undefined ? "" : saidOf(unit)}`).join(", ");

export function understand(table: OwnTable, choices: Choices = new Map()): Understanding {
  const drafts = table.columns.map((column) => draftOf(table, column, choices));
  const picks = resolved(drafts);
  const taken = withoutDoubles(
    drafts.map(({ read }, i) => {
      const pick = picks[i];
      return pick === undefined ? undefined : asTaken(pick, read.heading.unit);
    }),
  );
  const columns = drafts.map((draft, i) => understood(draft, taken[i], taken, drafts));
  const [us, metric] = [inSystem(columns, "us"), inSystem(columns, "metric")];
  const notes: string[] = [];
  if (us.length > 0 && metric.length > 0) {
    notes.push(
      `The table mixes units: ${listed(us)}; ${listed(metric)}. Each is converted in the formula where it has to be.`,
    );
  }
  if (table.totalsRow !== undefined) {
    notes.push(`Row ${table.totalsRow + 1} is taken for the totals: it gets no formula.`);
  }
  return { table, columns, system: metric.length > us.length ? "metric" : "us", notes };
}

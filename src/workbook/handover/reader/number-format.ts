/** What a number format shows of a value, and what it could tell besides: its other sections are read by anyone. */
import type { Scalar } from "../../host";

/** Texts in quotes, escaped characters, brackets, characters that are filled with or left room for, and the rest. */
const pieces = /"[^"]*"?|\\.|\[[^[\]]*\]|[_*].|[^"\\[_*]/gs;

const piecesOf = (code: string): readonly string[] => code.match(pieces) ?? [];

function sectionsOf(code: string): readonly string[] {
  const sections = [""];
  for (const piece of piecesOf(code)) {
    if (piece === ";") sections.push("");
    else sections[sections.length - 1] += piece;
  }
  return sections;
}

const condition = /^\[(<=|>=|<>|<|>|=)(-?[\d.]+)\]$/;

const compared: Readonly<Record<string, (a: number, b: number) => boolean>> = {
  "<": (a, b) => a < b,
  ">": (a, b) => a > b,
  "<=": (a, b) => a <= b,
  ">=": (a, b) => a >= b,
  "=": (a, b) => a === b,
  "<>": (a, b) => a !== b,
};

const conditionOf = (section: string): RegExpExecArray | undefined =>
  piecesOf(section)
    .map((piece) => condition.exec(piece))
    .find((found) => found !== null) ?? undefined;

/** Whether a format shows a day or a time of day. */
export const showsTime = (code: string): boolean =>
  piecesOf(code).some((piece) => /^(?:[dmyhs]|\[[hms]+\])$/i.test(piece));

/** Which section of a format a value is shown by; undefined where the format has none of its own for it. */
function sectionFor(sections: readonly string[], value: Scalar): number | undefined {
  if (typeof value !== "number") return sections.length >= 4 ? 3 : undefined;
  if (sections.some((section) => conditionOf(section) !== undefined)) {
    const found = sections.slice(0, 2).findIndex((section) => {
      const [, sign = "", bound = ""] = conditionOf(section) ?? [];
      return compared[sign]?.(value, Number(bound)) ?? false;
    });
    return found >= 0 ? found : Math.min(2, sections.length - 1);
  }
  if (value < 0) return sections.length >= 2 ? 1 : 0;
  return value === 0 && sections.length >= 3 ? 2 : 0;
}

/** The words of a section: what stands in quotes, is escaped or is a currency's name. */
const wordsOf = (section: string): string =>
  piecesOf(section)
    .filter((piece) => /^(["\\]|\[\$)/.test(piece))
    .map((piece) => piece.replace(/^(["\\]|\[\$)|(-[\dA-F]+)?\]$|"$/gi, ""))
    .join("");

const isWord = /[\p{L}\p{N}]/u;

const showsNothing = (section: string): boolean =>
  piecesOf(section).every((piece) => /^(\[[^[\]]*\]|[_*].|\s|"")$/s.test(piece));

export interface ShownBy {
  /** The format that is left where the value is shown just as before. */
  readonly code: string;
  /** The cell looks empty. */
  readonly hidesValue: boolean;
  /** The format as it was says more than it shows of this value. */
  readonly tells: boolean;
}

/** A format by what it shows of one value; sections with words or bounds of their own, which it does not show, go. */
export function shownBy(code: string, value: Scalar): ShownBy {
  const sections = sectionsOf(code);
  const which = sectionFor(sections, value);
  const shown = which === undefined ? undefined : (sections[which] ?? "");
  const hidesValue = shown !== undefined && showsNothing(shown);
  const words = shown === undefined || value === null ? "" : wordsOf(shown);
  const tells = sections.some((section) => {
    const others = wordsOf(section);
    return conditionOf(section) !== undefined || (isWord.test(others) && !words.includes(others));
  });
  if (!tells) return { code, hidesValue, tells };
  if (shown === undefined || value === null) return { code: "General", hidesValue, tells };
  const bare = piecesOf(shown)
    .filter((piece) => !condition.test(piece))
    .join("");
  // Said four times, so that no sign is put before it that it did not have.
  return { code: [bare, bare, bare, bare].join(";"), hidesValue, tells };
}

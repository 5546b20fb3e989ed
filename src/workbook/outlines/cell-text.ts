const longest = 60;

const short = (line: string): string => Array.from(line).slice(0, longest).join("").trim();

/** Somebody else's text as one short line without invisible characters, fit to be quoted in a sentence. */
export const oneLine = (text: string): string =>
  short(
    text
      .slice(0, 1000)
      .replace(/[\p{C}\p{Z}\s]+/gu, " ")
      .trim(),
  );

/** The same fit for a cell, where it must not begin as a formula does. */
export const cellText = (text: string): string => oneLine(oneLine(text).replace(/^[ =+\-@']+/, ""));

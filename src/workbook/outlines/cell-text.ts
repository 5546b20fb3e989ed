const longest = 60;

/** A name is told apart from another by far fewer characters, and a cell shows no more of it. */
const longestName = 255;

/** Somebody else's text as one line without invisible characters. */
const inOneLine = (text: string, most: number): string =>
  Array.from(
    text
      .slice(0, 1000)
      .replace(/[\p{C}\p{Z}\s]+/gu, " ")
      .trim(),
  )
    .slice(0, most)
    .join("")
    .trim();

/** Somebody else's text, short enough to be quoted in a sentence. */
export const oneLine = (text: string): string => inOneLine(text, longest);

/** A name for a cell: what it begins with stays, since whoever writes it writes a text. */
export const nameInOneLine = (text: string): string => inOneLine(text, longestName);

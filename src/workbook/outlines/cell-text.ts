const longest = 60;

/**
 * Text fit for a cell or a sentence: one line, short, and never the beginning of a formula,
 * because it is somebody else's text.
 */
export function cellText(text: string): string {
  const line = text
    .slice(0, 1000)
    .replace(/[\p{C}\p{Z}\s]+/gu, " ")
    .replace(/^[ =+\-@']+/, "");
  return Array.from(line).slice(0, longest).join("").trim();
}

const PARTS =
  /("[^"]*")|(\\.)|(_.)|(\*.)|(\[(?:Black|Blue|Cyan|Green|Magenta|Red|White|Yellow|Color\d+)\])|([()])/gi;

/**
 * A number format in the parts the spreadsheet can draw: it knows no padding, no colours and no bare brackets.
 * The default format is the empty one.
 */
export function drawnFormat(written: string): string {
  if (written.toLowerCase() === "general") return "";
  return written.replace(PARTS, (part, quoted, escaped, _padding, _filling, _colour, bracket) => {
    if (quoted || escaped) return part;
    return bracket ? `"${String(bracket)}"` : "";
  });
}

/** The text of a map file from its bytes: in the encoding that it declares, or not at all. */
import { oneLine } from "./cell-text";
import { Gathering } from "./gathering";

/** The marks that begin a text of Unicode, the longer ones first, since one of them begins with a shorter one. */
const marks: readonly (readonly [mark: readonly number[], encoding: string])[] = [
  [[0xff, 0xfe, 0, 0], "UTF-32"],
  [[0, 0, 0xfe, 0xff], "UTF-32"],
  [[0xef, 0xbb, 0xbf], "UTF-8"],
  [[0xff, 0xfe], "UTF-16LE"],
  [[0xfe, 0xff], "UTF-16BE"],
];

/** Enough for any declaration of XML. */
const head = 200;

const declaration = /^\s*<\?xml\s[^>]*?\sencoding\s*=\s*["']([^"'>]*)/;

/** Without a mark, letters of two bytes show by the half of the first one that is empty. */
function byFirstBytes([first, second]: Uint8Array): string | undefined {
  if (first === undefined || second === undefined || (first === 0) === (second === 0)) return undefined;
  return second === 0 ? "UTF-16LE" : "UTF-16BE";
}

/** A declaration that was read letter by letter is not one of UTF-16; and whatever is ASCII is UTF-8 as well. */
const asRead = (declared: string): string =>
  /^(?:utf-?16|ucs-?2|iso-10646-ucs-2|us-ascii$|ascii$)/i.test(declared) ? "UTF-8" : declared;

function encodingOf(bytes: Uint8Array): string {
  const marked = marks.find(([mark]) => mark.every((byte, i) => bytes[i] === byte));
  const known = marked?.[1] ?? byFirstBytes(bytes);
  if (known !== undefined) return known;
  const start = Array.from(bytes.subarray(0, head), (byte) => String.fromCharCode(byte)).join("");
  const declared = declaration.exec(start)?.[1]?.trim();
  return declared ? asRead(declared) : "UTF-8";
}

/** Other programs' names of encodings are quoted, so they are kept short. */
const longestName = 30;

function decoderOf(encoding: string): TextDecoder | undefined {
  try {
    return new TextDecoder(encoding, { fatal: true });
  } catch {
    return undefined;
  }
}

/**
 * A byte that has no meaning in its encoding means that the encoding is another one: names would come out wrong
 * without a word, so the file is refused with a WorkbookTrouble. The reader of the text drops a mark at its start.
 */
export function fileText(fileName: string, bytes: Uint8Array): string {
  const gathering = new Gathering(fileName);
  const encoding = encodingOf(bytes);
  const decoder = decoderOf(encoding);
  const named = oneLine(encoding).slice(0, longestName);
  if (decoder === undefined)
    return gathering.refuse(`is in an encoding that cannot be read here (${named}): save it again as UTF-8.`);
  try {
    return decoder.decode(bytes);
  } catch {
    return gathering.refuse(
      `holds bytes that are no text in its encoding (${named}): save it again as UTF-8 from the program that drew it.`,
    );
  }
}

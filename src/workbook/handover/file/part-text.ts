/** A part's text, from its bytes and back, whole or piece by piece. */
import type { ZipEntry } from "./zip";
import { unpacking } from "./zip";
import { told, damagedPart, refuse, printable } from "./package-trouble";

/** A part: packed as it came, read as text, or with new content that is packed when the file is closed. */
export interface Held {
  readonly name: string;
  readonly entry: ZipEntry | undefined;
  text?: string;
  /** A new part that is no text. */
  readonly bytes?: Uint8Array;
  /** A new text that is made piece by piece. */
  readonly pieces?: () => Iterable<string>;
  readonly isNew: boolean;
}

export function* piecesOf({ name, entry, text, pieces, isNew }: Held): Generator<string> {
  if (text !== undefined) yield text;
  else if (pieces !== undefined) yield* pieces();
  else if (!isNew && entry !== undefined) {
    try {
      yield* decodedPieces(name, unpacking(entry));
    } catch (error) {
      throw told(error, damagedPart(name));
    }
  }
}

/** The text of bytes that come piece by piece. */
function* decodedPieces(name: string, pieces: Iterable<Uint8Array>): Generator<string> {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const text = (bytes?: Uint8Array): string => {
    try {
      return decoder.decode(bytes, { stream: bytes !== undefined });
    } catch {
      return refuse(damagedPart(name));
    }
  };
  for (const piece of pieces) yield text(piece);
  yield text();
}

export function* encodedPieces(pieces: Iterable<string>): Generator<Uint8Array> {
  const encoder = new TextEncoder();
  for (const piece of pieces) yield encoder.encode(piece);
}

/** XML that declares a document type could hide anything behind its entities. */
export function decoded(name: string, bytes: Uint8Array): string {
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return refuse(damagedPart(name));
  }
  const encoding = /^\ufeff?<\?xml[^>]*?\bencoding\s*=\s*["']([^"']*)/.exec(text)?.[1];
  if (encoding !== undefined && !/^(utf-?8|us-ascii)$/i.test(encoding)) refuse(damagedPart(name));
  if (/<!(DOCTYPE|ENTITY)/i.test(text))
    refuse(`The file's part ${printable(name)} declares entities, which no workbook does: it is not opened.`);
  return text;
}

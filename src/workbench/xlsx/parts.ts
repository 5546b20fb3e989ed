import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";

/** The parts of a workbook file that are text, by path. */
export type Parts = Map<string, string>;

/** Pictures as addresses that hold their own data, by the path of the part they are kept in. */
export type Media = Map<string, string>;

const bytesOf = (address: string): Uint8Array =>
  Uint8Array.from(atob(address.slice(address.indexOf(",") + 1)), (character) => character.charCodeAt(0));

export function zipped(parts: Parts, media: Media = new Map()): Uint8Array {
  return zipSync({
    ...Object.fromEntries([...parts].map(([path, text]) => [path, strToU8(text)])),
    ...Object.fromEntries([...media].map(([path, address]) => [path, bytesOf(address)])),
  });
}

const kinds: Readonly<Record<string, string>> = { png: "png", jpg: "jpeg", jpeg: "jpeg" };
const kindOf = (path: string): string | undefined =>
  kinds[/^xl\/media\/image.*\.(\w+)$/.exec(path)?.[1]?.toLowerCase() ?? ""];

/** The pictures of a workbook file. */
export function mediaIn(bytes: Uint8Array): Media {
  const files = unzipSync(bytes, { filter: ({ name }) => kindOf(name) !== undefined });
  return new Map(
    Object.entries(files).map(([path, content]) => {
      const text = Array.from(content, (byte) => String.fromCharCode(byte)).join("");
      return [path, `data:image/${kindOf(path) ?? ""};base64,${btoa(text)}`];
    }),
  );
}

const isText = (path: string) => /\.(xml|rels)$/.test(path);

export function unzipped(bytes: Uint8Array): Parts {
  const files = unzipSync(bytes, { filter: ({ name }) => isText(name) });
  return new Map(Object.entries(files).map(([path, content]) => [path, strFromU8(content)]));
}

/** Adds text to a part, in front of its end. */
export function insertBefore(parts: Parts, path: string, end: string, text: string): void {
  const part = parts.get(path) ?? "";
  parts.set(path, part.replace(end, text + end));
}

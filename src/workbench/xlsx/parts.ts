import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";

/** The parts of a workbook file that are text, by path. */
export type Parts = Map<string, string>;

export function zipped(parts: Parts): Uint8Array {
  return zipSync(Object.fromEntries([...parts].map(([path, text]) => [path, strToU8(text)])));
}

const isText = (path: string) => /\.(xml|rels)$/.test(path);

export function unzipped(bytes: Uint8Array): Parts {
  const files = unzipSync(bytes, { filter: ({ name }) => isText(name) });
  return new Map(Object.entries(files).map(([path, content]) => [path, strFromU8(content)]));
}

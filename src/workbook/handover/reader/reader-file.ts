/** The file for a reader as it is handed over: where formulas stay, those of ours are ordinary formulas in it. */
import type { Progress } from "../../host";
import { rewriteFile } from "../file/rewrite-file";
import type { ReaderFile } from "./one-reader";
import type { ReaderOptions } from "./reader-options";
import { fileForReader } from "./one-reader";

/** A formula that has no ordinary form is a value in such a file: it is made once more with that known. */
export async function readerFile(
  bytes: Uint8Array,
  options: ReaderOptions,
  progress: Progress,
): Promise<ReaderFile> {
  const made = await fileForReader(bytes, options, progress);
  if (options.holds === "values") return made;
  const copy = await rewriteFile(made.bytes, { mode: "short native formulas" }, progress);
  if (copy.stopped.length === 0) return { ...made, bytes: copy.bytes };
  const known = options.asValues ?? new Set<string>();
  const stopped = copy.stopped.map(({ sheet, address }) => `${sheet}!${address}`);
  const more = new Set([...known, ...stopped]);
  // Nothing new was learnt: no formula of the file is left to give up.
  if (more.size === known.size) return fileForReader(bytes, { ...options, holds: "values" }, progress);
  return readerFile(bytes, { ...options, asValues: more }, progress);
}

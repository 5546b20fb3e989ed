/**
 * What may be called in a workbook, permanent from the first release: a workbook saved today must still open in ten
 * years. `npm run generate` adds to the list, and takes nothing out of it.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

export const vocabularyFile = fileURLToPath(new URL("../functions/vocabulary.txt", import.meta.url));

export const vocabulary = (): readonly string[] => readFileSync(vocabularyFile, "utf8").trim().split("\n");

const parametersIn = (signature: string): readonly string[] =>
  (/\((.+)\)$/.exec(signature)?.[1] ?? "").split(", ").filter((name) => name !== "");

/** Whether a call as it was written is one still: what comes to its parameters stands after them and may be left out. */
function isStill(before: string, now: string): boolean {
  const [old, all] = [parametersIn(before), parametersIn(now)];
  return (
    old.every((name, i) => name === all[i]) && all.slice(old.length).every((name) => name.startsWith("["))
  );
}

/** The list with what is new in its place; throws where something that workbooks hold would be called otherwise. */
export function withNew(before: readonly string[], now: readonly string[]): readonly string[] {
  const called = (signature: string): string => signature.slice(0, signature.indexOf("("));
  const known = new Map(now.map((signature) => [called(signature), signature]));
  const kept = before.map((signature) => {
    const found = known.get(called(signature));
    if (found === undefined || !isStill(signature, found))
      throw new Error(
        `Workbooks call ${signature}, which is now ${found ?? "gone"}: ids and parameters are permanent.`,
      );
    return found;
  });
  return [...kept, ...now.filter((signature) => !kept.includes(signature))];
}

/** Limits of our functions put on the cells of a file. */
import { parameterSentence } from "../../../engine/parameters";
import { mostAlert, ruleOf, wholeSentences } from "../../writing";
import type { WantedLimit } from "../../marks";
import type { Block, Pause } from "../../host";
import { blockOf, cellAddress } from "../../host";
import type { FileLimit } from "./limit-rule";
import type { ReadSheet } from "./opened-file";

function fileLimit({ parameter }: WantedLimit, blocks: readonly Block[]): FileLimit {
  const [first] = blocks;
  const rule = ruleOf(parameter, cellAddress(first?.top ?? 0, first?.left ?? 0));
  const message = wholeSentences([parameterSentence(parameter)], mostAlert);
  const choices = rule.list?.source;
  return typeof choices === "string"
    ? { blocks, message, rule: { list: choices } }
    : { blocks, message, rule: { formula: String(rule.custom?.formula ?? "") } };
}

/** Limits that are placed at a time, in a few milliseconds. */
const limitsAtATime = 100;

/** Answers with how many there was room for: a cell has one rule, and one of the estimator's own stays. */
export async function addLimits(
  sheets: readonly ReadSheet[],
  wanted: readonly WantedLimit[],
  pause: Pause,
): Promise<number> {
  const byName = new Map(sheets.map(({ sheet, part }) => [sheet.name.toLowerCase(), part]));
  let written = 0;
  for (const [i, limit] of wanted.entries()) {
    if (i % limitsAtATime === 0) await pause(i, wanted.length);
    const part = byName.get(limit.sheet.toLowerCase());
    const block = blockOf(limit.address);
    if (part === undefined || block === undefined) continue;
    const free = part.validated.free(block);
    if (free.length === 0) continue;
    for (const one of free) part.validated.add(one);
    part.addLimit(fileLimit(limit, free));
    written++;
  }
  return written;
}

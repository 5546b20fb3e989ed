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

/** No rule names more blocks: what reads files has bounds of its own, and old ones held 432. */
const mostBlocks = 400;

/** Limits are alike whose rules are, spelt for one and the same cell. */
const anywhere: Block = { top: 0, left: 0, bottom: 0, right: 0 };

/** Blocks of one column with the same limit, which make one rule: its formula is spelt for the first of them. */
interface Alike {
  readonly part: ReadSheet["part"];
  readonly limit: WantedLimit;
  readonly blocks: Block[];
}

function put({ part, limit, blocks }: Alike): void {
  const inOrder = blocks.sort((one, other) => one.top - other.top);
  for (let from = 0; from < inOrder.length; from += mostBlocks)
    part.addLimit(fileLimit(limit, inOrder.slice(from, from + mostBlocks)));
}

/** Answers with how many there was room for: a cell has one rule, and one of the estimator's own stays. */
export async function addLimits(
  sheets: readonly ReadSheet[],
  wanted: readonly WantedLimit[],
  pause: Pause,
): Promise<number> {
  const byName = new Map(sheets.map(({ sheet, part }) => [sheet.name.toLowerCase(), part]));
  const alike = new Map<string, Alike>();
  let written = 0;
  for (const [i, limit] of wanted.entries()) {
    if (i % limitsAtATime === 0) await pause(i, wanted.length);
    const part = byName.get(limit.sheet.toLowerCase());
    const block = blockOf(limit.address);
    if (part === undefined || block === undefined) continue;
    const free = part.validated.free(block);
    if (free.length === 0) continue;
    written++;
    for (const one of free) {
      part.validated.add(one);
      const key = JSON.stringify([part.name, one.left, one.right, fileLimit(limit, [anywhere])]);
      const group = alike.get(key) ?? { part, limit, blocks: [] };
      group.blocks.push(one);
      alike.set(key, group);
    }
  }
  for (const group of alike.values()) put(group);
  return written;
}

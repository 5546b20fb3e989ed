import { hostSpelling, spreadsheetSpelling } from "../host/written-formulas";
import { all, children, first, setAttributes } from "./dom";
import { toShown, toStored } from "./function-names";

/** Those of the sheet itself; an extension may hold others of the same name. */
const blocksOf = (sheet: Document): Element[] =>
  children(sheet.documentElement).filter(({ localName }) => localName === "conditionalFormatting");

const rulesOf = (block: Element): Element[] =>
  children(block).filter(({ localName }) => localName === "cfRule");

const priorityOf = (block: Element): number => Number(first(block, "cfRule")?.getAttribute("priority") ?? 0);

/** The spreadsheet takes the first rule of a block, in the order of blocks: each rule gets its own, first things first. */
export function readFormats(sheet: Document): void {
  const blocks = blocksOf(sheet);
  const [place] = blocks;
  if (!place) return;
  const single = blocks.flatMap((block) =>
    rulesOf(block).map((rule) => {
      const own = block.cloneNode(false) as Element;
      own.append(rule.cloneNode(true));
      return own;
    }),
  );
  single.sort((one, other) => priorityOf(one) - priorityOf(other));
  place.before(...single);
  for (const block of blocks) block.remove();
  for (const formula of single.flatMap((block) => all(block, "formula")))
    formula.textContent = spreadsheetSpelling(toShown(formula.textContent ?? ""));
}

/** Writes each rule in its place in the order, its formulas as the host stores them. */
export function writeFormats(sheet: Document): void {
  const rules = blocksOf(sheet).flatMap(rulesOf);
  rules.forEach((rule, index) => setAttributes(rule, { priority: index + 1 }));
  for (const formula of rules.flatMap((rule) => all(rule, "formula")))
    formula.textContent = toStored(hostSpelling((formula.textContent ?? "").replace(/^=/, "")));
}

import { invalidArgument } from "../protocol/host-error";

const LONGEST_FORMULA = 8192;
/** The longest formula of a limit. */
export const LONGEST_LIMIT = 255;
const LONGEST_TEXT = 32_767;
const LONGEST_TEXT_IN_FORMULA = 255;
const DEEPEST = 64;
const MOST_ARGUMENTS = 255;

interface Measured {
  levels: number;
  arguments: number;
}

const TEXT = /"((?:[^"]|"")*)"/g;
const QUOTED = /"(?:[^"]|"")*"|'(?:[^']|'')*'/g;

/** How deep the calls of a formula stand inside each other, and how many arguments the longest has. */
function measured(formula: string): Measured {
  const plain = formula.replace(QUOTED, "x");
  const open: { isCall: boolean; commas: number }[] = [];
  let calls = 0;
  const most = { levels: 0, arguments: 0 };
  for (const [at, character] of [...plain].entries()) {
    if (character === "(" || character === "{") {
      const isCall = character === "(" && /[\w.]/.test(plain[at - 1] ?? "");
      open.push({ isCall, commas: 0 });
      if (isCall) most.levels = Math.max(most.levels, ++calls);
    } else if (character === ")" || character === "}") {
      const closed = open.pop();
      if (!closed?.isCall) continue;
      calls--;
      most.arguments = Math.max(most.arguments, closed.commas + 1);
    } else if (character === ",") {
      const inside = open.at(-1);
      if (inside) inside.commas++;
    }
  }
  return most;
}

/** Refuses what the rule of a conditional format or of a limit cannot hold. */
export function checkRule(formula: string, longest = LONGEST_FORMULA): void {
  if (!formula.startsWith("=")) return;
  checkLimits(formula);
  if (formula.length > longest) throw invalidArgument("the formula of the rule is too long");
  if (formula.replace(QUOTED, "x").includes("{")) throw invalidArgument("a rule takes no array constants");
}

/** Refuses what a cell has no room for. */
export function checkLimits(content: string): void {
  if (!content.startsWith("=")) {
    if (content.length > LONGEST_TEXT) throw invalidArgument("the text is too long for a cell");
    return;
  }
  if (content.length > LONGEST_FORMULA) throw invalidArgument("the formula is too long");
  for (const [quoted] of content.matchAll(TEXT)) {
    if (quoted.slice(1, -1).replaceAll('""', '"').length > LONGEST_TEXT_IN_FORMULA) {
      throw invalidArgument("a text in the formula is too long");
    }
  }
  const { levels, arguments: most } = measured(content);
  if (levels > DEEPEST) throw invalidArgument("the formula has too many levels of nesting");
  if (most > MOST_ARGUMENTS) throw invalidArgument("a function is given too many arguments");
}

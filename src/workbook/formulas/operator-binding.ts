/** How tightly the parts of a formula bind, so that a rewritten call gets brackets where it needs them. */
import { binding } from "../../engine/native/pieces";
import type { Placed } from "./tokens";
import { opening, closing } from "./tokens";

/** How tightly each operator of the worksheet language binds. */
const operatorBinding: Readonly<Record<string, number>> = {
  "=": binding.comparison,
  "<": binding.comparison,
  ">": binding.comparison,
  "<=": binding.comparison,
  ">=": binding.comparison,
  "<>": binding.comparison,
  "&": binding.joined,
  "+": binding.sum,
  "-": binding.sum,
  "*": binding.product,
  "/": binding.product,
  "^": binding.power,
};

/** Operators whose right side must bind more tightly than they do, for the sum to stay the same. */
const ordered = new Set(["-", "/", "^", "=", "<", ">", "<=", ">=", "<>"]);

/** The binding of a whole expression: that of its loosest operator outside brackets. */
export function bindingOf(tokens: readonly Placed[]): number {
  let depth = 0;
  let loosest: number = binding.whole;
  tokens.forEach(({ value, type }, i) => {
    if (opening.has(value)) depth++;
    if (closing.has(value)) depth--;
    if (depth > 0 || type !== "operator") return;
    const sign = (value === "-" || value === "+") && !endsOperand(tokens, i);
    loosest = Math.min(loosest, sign ? binding.sign : (operatorBinding[value] ?? binding.whole));
  });
  return loosest;
}

const isBetween = ({ type }: Placed): boolean => type === "whitespace" || type === "newline";

/** The nearest token in a direction that says something; a formula has thousands, so none are copied. */
function nearest(tokens: readonly Placed[], place: number, step: 1 | -1): number {
  for (let at = place + step; ; at += step) {
    const token = tokens[at];
    if (token === undefined || !isBetween(token)) return at;
  }
}

/** Whether what stands before a token can be the left side of an operator. */
function endsOperand(tokens: readonly Placed[], place: number): boolean {
  const last = tokens[nearest(tokens, place, -1)];
  if (last === undefined || last.type === "fx_prefix") return false;
  return last.type !== "operator" || closing.has(last.value) || last.value === "%";
}

/** How tightly a rewritten call must bind where it stands, from the operators on either side. */
export function neededBinding(tokens: readonly Placed[], first: number, last: number): number {
  const before = nearest(tokens, first, -1);
  const left = tokens[before];
  const right = tokens[nearest(tokens, last, 1)];
  const sign =
    left !== undefined && (left.value === "-" || left.value === "+") && !endsOperand(tokens, before);
  const leftBinding = sign ? binding.sign : (operatorBinding[left?.value ?? ""] ?? 0);
  const fromLeft = leftBinding === 0 || !ordered.has(left?.value ?? "") ? leftBinding : leftBinding + 1;
  const fromRight = right?.value === "%" ? binding.whole : (operatorBinding[right?.value ?? ""] ?? 0);
  return Math.max(fromLeft, fromRight);
}

import { invalidArgument } from "../protocol/host-error";
import { cellName } from "./area";
import type { Getters } from "./spreadsheet";
import { hostSpelling, spreadsheetSpelling } from "./written-formulas";

export interface ErrorAlert {
  message: string;
  showAlert: boolean;
  style: string;
  title: string;
}

export interface Prompt {
  message: string;
  showPrompt: boolean;
  title: string;
}

export interface BasicRule {
  formula1: unknown;
  formula2?: unknown;
  operator: string;
}

export interface ValidationRule {
  list?: { inCellDropDown: boolean; source: unknown };
  custom?: { formula: string };
  wholeNumber?: BasicRule;
  decimal?: BasicRule;
  textLength?: BasicRule;
  date?: BasicRule;
  time?: BasicRule;
}

/** What the spreadsheet's own rule has no place for; it travels in the rule's criterion, wherever cells are copied to. */
export interface KeptValidation {
  rule: ValidationRule;
  errorAlert: ErrorAlert;
  prompt: Prompt;
  ignoreBlanks: boolean;
}

const OPERATORS: Readonly<Record<string, string>> = {
  EqualTo: "=",
  NotEqualTo: "<>",
  GreaterThan: ">",
  LessThan: "<",
  GreaterThanOrEqualTo: ">=",
  LessThanOrEqualTo: "<=",
};

type SpreadsheetRule = NonNullable<ReturnType<Getters["getDataValidationRule"]>>;

/** A criterion of the spreadsheet, with what the host knows of the rule beside it. */
interface HostCriterion {
  type: string;
  values: readonly string[];
  displayStyle?: string;
  host: KeptValidation;
}

/** Stands in a limit's formula for the cell that is judged: no insert, delete or paste can make it another. */
export const TYPED_CELL = "HOST.TYPED_CELL";
const TYPED = `${TYPED_CELL}()`;

/** Texts, sheets' names with what belongs to them, calls, and words that may be a cell. */
const WORDS = /"(?:[^"]|"")*"|'(?:[^']|'')*'![\w.$:]+|[A-Za-z_$][\w.$]*(?:[:!][\w.$]+)*(\s*\()?/g;

const withTyped = (formula: string, cell: string): string =>
  formula.replace(WORDS, (word) => (word.toUpperCase() === cell ? TYPED : word));

/** What the host keeps of a rule, its formula as seen from the rule's first cell; null for the spreadsheet's own. */
export function keptIn(rule: SpreadsheetRule): KeptValidation | null {
  const { host, values } = rule.criterion as unknown as Partial<HostCriterion>;
  const zone = rule.ranges[0]?.zone;
  if (host === undefined || zone === undefined) return host ?? null;
  const formula = hostSpelling(String(values?.[0])).replaceAll(TYPED, cellName(zone.left, zone.top));
  if (host.rule.custom) return { ...host, rule: { custom: { formula } } };
  const [kind, basic] = basicRule(host.rule) ?? [];
  if (kind === undefined || basic === undefined) return host;
  return { ...host, rule: { [kind]: { ...basic, ...operandsIn(formula, basic) } } };
}

export const BASIC_KINDS = ["wholeNumber", "decimal", "textLength", "date", "time"] as const;

/** A rule that compares with one or two figures, by its kind. */
export function basicRule(rule: ValidationRule): readonly [string, BasicRule] | undefined {
  for (const kind of BASIC_KINDS) {
    const basic = rule[kind];
    if (basic) return [kind, basic];
  }
  return undefined;
}

/** Stands after what is worked out, so that what it compares with is moved along with the cells, and found again. */
const OPERANDS = ',CHOOSE(2,"compared with",(';
const NEXT = '),"and",(';

export const isFormula = (value: unknown): value is string =>
  typeof value === "string" && value.startsWith("=");

function withOperands(formula: string, { formula1, formula2 }: BasicRule): string {
  const all = [formula1, formula2].map((one) => (isFormula(one) ? one.slice(1) : "0"));
  return [formula1, formula2].some(isFormula)
    ? `=IF(TRUE,${formula.slice(1)}${OPERANDS}${all.join(NEXT)})))`
    : formula;
}

function operandsIn(formula: string, { formula1, formula2 }: BasicRule): Partial<BasicRule> {
  const at = formula.indexOf(OPERANDS);
  if (at < 0) return {};
  const [first = "", second = ""] = formula.slice(at + OPERANDS.length, -3).split(NEXT);
  return {
    ...(isFormula(formula1) ? { formula1: `=${first}` } : {}),
    ...(isFormula(formula2) ? { formula2: `=${second}` } : {}),
  };
}

export const isBlocking = ({ errorAlert }: KeptValidation): boolean =>
  errorAlert.showAlert && errorAlert.style === "Stop";

/** The spreadsheet's criterion for a rule; most kinds become a formula, which it checks cell by cell. */
export function criterionFor(host: KeptValidation, cell: string): HostCriterion {
  const { list } = host.rule;
  if (list) return { ...listCriterion(list), host };
  const formula = spreadsheetSpelling(formulaFor(host.rule));
  return { type: "customFormula", values: [withTyped(formula, cell)], host };
}

function listCriterion({ inCellDropDown, source }: { inCellDropDown: boolean; source: unknown }) {
  const displayStyle = inCellDropDown ? "arrow" : "plainText";
  const text = String(source);
  if (text.startsWith("=")) return { type: "isValueInRange", values: [text.slice(1)], displayStyle };
  const values = text.split(",").map((value) => value.trim());
  return { type: "isValueInList", values, displayStyle };
}

function formulaFor(rule: ValidationRule): string {
  const [, basic] = basicRule(rule) ?? [];
  return basic === undefined ? judging(rule) : withOperands(judging(rule), basic);
}

function judging({ custom, wholeNumber, textLength, decimal, date, time }: ValidationRule): string {
  if (custom) return custom.formula;
  if (wholeNumber) return `=AND(ISNUMBER(${TYPED}),${TYPED}=INT(${TYPED}),${compared(wholeNumber, TYPED)})`;
  if (textLength) return `=${compared(textLength, `LEN(${TYPED})`)}`;
  const number = decimal ?? date ?? time;
  return number ? `=AND(ISNUMBER(${TYPED}),${compared(number, TYPED)})` : "=TRUE";
}

const operand = (value: unknown): string => {
  const text = String(value);
  return text.startsWith("=") ? `(${text.slice(1)})` : text;
};

function compared({ operator, formula1, formula2 }: BasicRule, subject: string): string {
  const [first, second] = [operand(formula1), operand(formula2)];
  if (operator === "Between") return `AND(${subject}>=${first},${subject}<=${second})`;
  if (operator === "NotBetween") return `OR(${subject}<${first},${subject}>${second})`;
  const sign = OPERATORS[operator];
  if (!sign) throw invalidArgument(`"${operator}" is no operator of a data validation rule`);
  return `${subject}${sign}${first}`;
}

import { cellName, parseZone, zoneName } from "../host/area";
import type { Book } from "../host/book";
import { BASIC_KINDS, criterionFor, isBlocking, keptIn } from "../host/validation-rule";
import type { BasicRule, KeptValidation, ValidationRule } from "../host/validation-rule";
import { all, create, first, place } from "./dom";
import { SHEET_ORDER } from "./sheet-layout";
import { toShown, toStored } from "./function-names";

type BasicKind = (typeof BASIC_KINDS)[number];

const FILE_TYPE: Readonly<Record<BasicKind, string>> = {
  wholeNumber: "whole",
  decimal: "decimal",
  textLength: "textLength",
  date: "date",
  time: "time",
};

const FILE_OPERATOR: Readonly<Record<string, string>> = {
  Between: "between",
  NotBetween: "notBetween",
  EqualTo: "equal",
  NotEqualTo: "notEqual",
  GreaterThan: "greaterThan",
  LessThan: "lessThan",
  GreaterThanOrEqualTo: "greaterThanOrEqual",
  LessThanOrEqualTo: "lessThanOrEqual",
};

interface FileRule {
  type: string;
  operator?: string;
  formulas: string[];
  hidesArrow?: boolean;
}

const formulaText = (value: unknown): string => {
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return toStored(text.replace(/^=/, ""));
};

function fileRule(rule: ValidationRule): FileRule {
  if (rule.list) {
    const source = String(rule.list.source);
    const formula = source.startsWith("=") ? source.slice(1) : `"${source.replaceAll('"', '""')}"`;
    return { type: "list", formulas: [formula], hidesArrow: !rule.list.inCellDropDown };
  }
  if (rule.custom) return { type: "custom", formulas: [formulaText(rule.custom.formula)] };
  for (const kind of BASIC_KINDS) {
    const basic = rule[kind];
    if (!basic) continue;
    const second = basic.formula2 === undefined || basic.formula2 === "" ? [] : [formulaText(basic.formula2)];
    return {
      type: FILE_TYPE[kind],
      operator: FILE_OPERATOR[basic.operator] ?? "between",
      formulas: [formulaText(basic.formula1), ...second],
    };
  }
  return { type: "none", formulas: [] };
}

/** Writes the rules set through the host, with their messages; rules set in the spreadsheet itself stay as they are. */
export function writeValidations(book: Book, sheetId: string, sheet: Document): void {
  const rules = book.getters.getDataValidationRules(sheetId) ?? [];
  if (!rules.length) return;
  const theirs = first(sheet, "dataValidations");
  const written = theirs ? all(theirs, "dataValidation") : [];
  const list = create(sheet, "dataValidations");
  rules.forEach((rule, index) => {
    const kept = keptIn(rule);
    const sqref = rule.ranges.map(({ zone }) => zoneName(zone)).join(" ");
    const element = kept ? validationElement(sheet, kept, sqref) : written[index];
    if (element) list.append(element);
  });
  list.setAttribute("count", String(list.children.length));
  place(sheet.documentElement, list, SHEET_ORDER);
}

function validationElement(sheet: Document, kept: KeptValidation, sqref: string): Element {
  const { type, operator, formulas, hidesArrow } = fileRule(kept.rule);
  const { errorAlert, prompt } = kept;
  const element = create(sheet, "dataValidation", {
    type,
    operator,
    errorStyle: errorAlert.style === "Stop" ? undefined : errorAlert.style.toLowerCase(),
    allowBlank: kept.ignoreBlanks ? 1 : undefined,
    showDropDown: hidesArrow ? 1 : undefined,
    showInputMessage: prompt.showPrompt ? 1 : undefined,
    showErrorMessage: errorAlert.showAlert ? 1 : undefined,
    errorTitle: errorAlert.title || undefined,
    error: errorAlert.message || undefined,
    promptTitle: prompt.title || undefined,
    prompt: prompt.message || undefined,
    sqref,
  });
  formulas.forEach((formula, index) => element.append(create(sheet, `formula${index + 1}`, {}, formula)));
  return element;
}

export interface ReadValidation {
  id: string;
  criterion: object;
  isBlocking: boolean;
  ranges: string[];
}

export function readValidations(sheetName: string, sheet: Document): ReadValidation[] {
  return all(sheet, "dataValidation").flatMap((element, index) => {
    const ranges = (element.getAttribute("sqref") ?? "").split(/\s+/).filter(Boolean);
    const zone = parseZone(ranges[0] ?? "");
    const rule = readRule(element);
    if (!zone || !rule) return [];
    const kept: KeptValidation = {
      rule,
      errorAlert: {
        message: element.getAttribute("error") ?? "",
        showAlert: element.getAttribute("showErrorMessage") === "1",
        style: capital(element.getAttribute("errorStyle") ?? "stop"),
        title: element.getAttribute("errorTitle") ?? "",
      },
      prompt: {
        message: element.getAttribute("prompt") ?? "",
        showPrompt: element.getAttribute("showInputMessage") === "1",
        title: element.getAttribute("promptTitle") ?? "",
      },
      ignoreBlanks: element.getAttribute("allowBlank") === "1",
    };
    const id = `read-${sheetName}-${index}`;
    const criterion = criterionFor(kept, cellName(zone.left, zone.top));
    return [{ id, criterion, isBlocking: isBlocking(kept), ranges }];
  });
}

const capital = (word: string) => word.charAt(0).toUpperCase() + word.slice(1);

function readRule(element: Element): ValidationRule | null {
  const type = element.getAttribute("type") ?? "none";
  const formula = (index: 1 | 2) => toShown(first(element, `formula${index}`)?.textContent ?? "");
  if (type === "list") {
    const text = formula(1);
    const quoted = /^"((?:[^"]|"")*)"$/.exec(text);
    const source = quoted ? (quoted[1] ?? "").replaceAll('""', '"') : `=${text}`;
    return { list: { inCellDropDown: element.getAttribute("showDropDown") !== "1", source } };
  }
  if (type === "custom") return { custom: { formula: `=${formula(1)}` } };
  if (type === "none") return {};
  const kind = BASIC_KINDS.find((other) => FILE_TYPE[other] === type);
  if (!kind) return null;
  const written = element.getAttribute("operator") ?? "between";
  const operator = Object.keys(FILE_OPERATOR).find((name) => FILE_OPERATOR[name] === written) ?? "Between";
  const value = (text: string) => (text && !Number.isNaN(Number(text)) ? Number(text) : text && `=${text}`);
  const second = formula(2);
  const basic: BasicRule = {
    formula1: value(formula(1)),
    ...(second && { formula2: value(second) }),
    operator,
  };
  return { [kind]: basic };
}

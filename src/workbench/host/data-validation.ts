import { invalidArgument } from "../protocol/host-error";
import { isWireObject } from "../protocol/wire-object";
import type { WireObject } from "../protocol/wire-object";
import { cellName, intersection, sameZone, zoneName } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import type { Zone } from "./spreadsheet";
import { checkRule, LONGEST_LIMIT } from "./written-limits";
import type { KeptValidation, ValidationRule, ErrorAlert, Prompt } from "./validation-rule";
import { keptIn, criterionFor, isBlocking, basicRule, isFormula } from "./validation-rule";

const TYPES: Readonly<Record<string, string>> = {
  list: "List",
  custom: "Custom",
  wholeNumber: "WholeNumber",
  decimal: "Decimal",
  textLength: "TextLength",
  date: "Date",
  time: "Time",
};

const NO_VALIDATION: KeptValidation = {
  rule: {},
  errorAlert: { message: "", showAlert: true, style: "Stop", title: "" },
  prompt: { message: "", showPrompt: true, title: "" },
  ignoreBlanks: true,
};

/** The cells of an area that have a limit, in rectangles that say nothing of which is whose. */
export function validatedZones(book: Book, { sheetId, zone }: Area): Zone[] {
  const zones = book.getters
    .getDataValidationRules(sheetId)
    .flatMap(({ ranges }) => ranges.flatMap((range) => intersection(range.zone, zone) ?? []));
  return book.library.helpers.mergeContiguousZones(zones);
}

/** The id of the rule that holds for all cells of some areas, or null; undefined where they differ. */
function ruleOfAll(book: Book, areas: readonly Area[]): string | null | undefined {
  const ids = new Set(areas.map((area) => validationRuleOf(book, area)));
  return ids.size === 1 ? [...ids][0] : undefined;
}

/** The same of one area. */
export function validationRuleOf(book: Book, area: Area): string | null | undefined {
  const zone = book.present(area);
  if (!zone) return null;
  const { sheetId } = area;
  const ruleAt = (col: number, row: number) =>
    book.getters.getValidationRuleForCell({ sheetId, col, row })?.id ?? null;
  const first = ruleAt(zone.left, zone.top);
  for (let row = zone.top; row <= zone.bottom; row++) {
    for (let col = zone.left; col <= zone.right; col++) {
      if (ruleAt(col, row) !== first) return undefined;
    }
  }
  return first;
}

export class DataValidation implements WireObject {
  readonly $type = "DataValidation";
  readonly $scalars = ["ErrorAlert", "IgnoreBlanks", "Prompt", "Rule", "Type", "Valid"];

  private readonly areas: readonly Area[];

  /** Of one area, or of several of the same sheet. */
  constructor(
    private readonly book: Book,
    private readonly area: Area,
    more: readonly Zone[] = [],
  ) {
    this.areas = [area, ...more.map((zone) => ({ ...area, zone }))];
  }

  private get current(): KeptValidation | null {
    const id = ruleOfAll(this.book, this.areas);
    if (id === undefined) return null;
    const rule = id === null ? undefined : this.book.getters.getDataValidationRule(this.area.sheetId, id);
    return (rule && keptIn(rule)) ?? NO_VALIDATION;
  }

  get Rule(): ValidationRule | null {
    return this.current?.rule ?? null;
  }

  set Rule(rule: ValidationRule) {
    this.put({ ...this.base, rule: plainRule(this.book, rule) });
  }

  get Type(): string {
    const { current } = this;
    if (!current) return "MixedCriteria";
    return TYPES[Object.keys(current.rule)[0] ?? ""] ?? "None";
  }

  get ErrorAlert(): ErrorAlert | null {
    return this.current?.errorAlert ?? null;
  }

  set ErrorAlert(alert: Partial<ErrorAlert>) {
    this.put({ ...this.base, errorAlert: { ...NO_VALIDATION.errorAlert, ...alert } });
  }

  get Prompt(): Prompt | null {
    return this.current?.prompt ?? null;
  }

  set Prompt(prompt: Partial<Prompt>) {
    this.put({ ...this.base, prompt: { ...NO_VALIDATION.prompt, ...prompt } });
  }

  get IgnoreBlanks(): boolean | null {
    return this.current?.ignoreBlanks ?? null;
  }

  set IgnoreBlanks(ignoreBlanks: boolean) {
    this.put({ ...this.base, ignoreBlanks });
  }

  get Valid(): boolean | null {
    const zone = this.book.present(this.area);
    if (!zone) return true;
    const { sheetId } = this.area;
    let valid = 0;
    let cells = 0;
    for (let row = zone.top; row <= zone.bottom; row++) {
      for (let col = zone.left; col <= zone.right; col++) {
        cells++;
        const position = { sheetId, col, row };
        const { value } = this.book.read(position);
        if (value === "" || !this.book.getters.isDataValidationInvalid(position)) valid++;
      }
    }
    if (valid === cells) return true;
    return valid === 0 ? false : null;
  }

  Clear(): void {
    const { sheetId } = this.area;
    // Putting a rule on cells takes any other off them; taking that one away leaves them free.
    const id = this.book.newId("validation");
    this.book.run("ADD_DATA_VALIDATION_RULE", {
      sheetId,
      rule: { id, criterion: { type: "customFormula", values: ["=TRUE"] } },
      ranges: this.rangeData(),
    });
    this.book.run("REMOVE_DATA_VALIDATION_RULE", { sheetId, id });
  }

  private get base(): KeptValidation {
    return this.current ?? NO_VALIDATION;
  }

  private rangeData() {
    return this.areas.map(({ sheetId, zone }) =>
      this.book.getters.getRangeDataFromXc(sheetId, zoneName(zone)),
    );
  }

  private put(kept: KeptValidation): void {
    for (const area of this.areas) this.book.roomFor(area);
    const { sheetId } = this.area;
    const id = this.ownRuleId() ?? this.book.newId("validation");
    const { left, top } = this.area.zone;
    const rule = {
      id,
      criterion: criterionFor(kept, cellName(left, top)),
      isBlocking: isBlocking(kept),
    };
    this.book.run("ADD_DATA_VALIDATION_RULE", { sheetId, rule, ranges: this.rangeData() });
  }

  /** The id of a rule that covers exactly these areas, which may then be changed in place. */
  private ownRuleId(): string | null {
    const id = ruleOfAll(this.book, this.areas);
    if (!id) return null;
    const ranges = this.book.getters.getDataValidationRule(this.area.sheetId, id)?.ranges ?? [];
    const present = this.areas.map((area) => this.book.present(area));
    const exact =
      ranges.length === present.length &&
      ranges.every(({ zone }, i) => {
        const own = present[i];
        return own !== null && own !== undefined && sameZone(zone, own);
      });
    return exact ? id : null;
  }
}

/** The rule with a range given as its source turned into a reference. */
function plainRule(book: Book, rule: ValidationRule): ValidationRule {
  const kinds = Object.keys(rule).filter((kind) => rule[kind as keyof ValidationRule] !== undefined);
  if (kinds.length !== 1 || !TYPES[kinds[0] ?? ""]) {
    throw invalidArgument("a data validation rule needs exactly one kind");
  }
  const [, basic] = basicRule(rule) ?? [];
  const formulas = [rule.custom?.formula, basic?.formula1, basic?.formula2].filter(isFormula);
  if (book.harshness.limits) for (const formula of formulas) checkRule(formula, LONGEST_LIMIT);
  const source = rule.list?.source;
  if (!rule.list || !isWireObject(source) || !("area" in source)) return rule;
  return { list: { ...rule.list, source: `=${book.address(source.area as Area)}` } };
}

import { translateFormulaToA1, translateFormulaToR1C1 } from "@borgar/fx";
import { HostError, invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { cellName, intersection } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import { RangeAreas } from "./range-areas";
import type { Getters, Zone } from "./spreadsheet";
import { checkRule } from "./written-limits";
import { hostSpelling, spreadsheetSpelling } from "./written-formulas";

type Format = ReturnType<Getters["getConditionalFormats"]>[number];
type CellRule = Extract<Format["rule"], { type: "CellIsRule" }>;
type Operator = CellRule["operator"];

const CELL_VALUE: Readonly<Partial<Record<Operator, string>>> = {
  isBetween: "Between",
  isNotBetween: "NotBetween",
  isEqual: "EqualTo",
  isNotEqual: "NotEqualTo",
  isGreaterThan: "GreaterThan",
  isLessThan: "LessThan",
  isGreaterOrEqualTo: "GreaterThanOrEqual",
  isLessOrEqualTo: "LessThanOrEqual",
};

const OTHERS: Readonly<Partial<Record<Operator, string>>> = {
  customFormula: "Custom",
  containsText: "ContainsText",
  notContainsText: "ContainsText",
  beginsWithText: "ContainsText",
  endsWithText: "ContainsText",
  top10: "TopBottom",
};

const DRAWN: Readonly<Record<string, string>> = {
  ColorScaleRule: "ColorScale",
  IconSetRule: "IconSet",
  DataBarRule: "DataBar",
};

interface CellValueRule {
  readonly formula1: unknown;
  readonly formula2?: unknown;
  readonly operator: string;
}

/** A formula as seen from one cell, spelt as seen from another. */
const moved = (formula: string, from: string, to: string): string =>
  from === to || !formula.startsWith("=")
    ? formula
    : translateFormulaToA1(translateFormulaToR1C1(formula, from), to);

const zonesOf = (book: Book, sheetId: string, { ranges }: Format): Zone[] =>
  ranges.map((range) => book.area(range, sheetId).zone);

class ConditionalFormat implements WireObject {
  readonly $type = "ConditionalFormat";
  readonly $scalars = ["Id", "Priority", "StopIfTrue", "Type"];

  /** A format by way of the range that it was asked of: what is set is read as seen from there. */
  constructor(
    private readonly book: Book,
    private readonly asked: Area,
    readonly Id: string,
  ) {}

  private get all(): readonly Format[] {
    return this.book.getters.getConditionalFormats(this.asked.sheetId);
  }

  private get format(): Format {
    const format = this.all.find(({ id }) => id === this.Id);
    if (!format) throw itemNotFound("the conditional format has been deleted");
    return format;
  }

  private get zones(): Zone[] {
    return zonesOf(this.book, this.asked.sheetId, this.format);
  }

  get Priority(): number {
    return this.all.findIndex(({ id }) => id === this.Id);
  }

  get StopIfTrue(): boolean {
    return this.format.stopIfTrue ?? false;
  }

  get Type(): string {
    const { rule } = this.format;
    if (rule.type !== "CellIsRule") return DRAWN[rule.type] ?? "PresetCriteria";
    if (CELL_VALUE[rule.operator] !== undefined) return "CellValue";
    return OTHERS[rule.operator] ?? "PresetCriteria";
  }

  GetRangeOrNullObject(): WireObject | null {
    const [zone, ...more] = this.zones;
    const { sheetId } = this.asked;
    return zone === undefined || more.length > 0 ? null : this.book.objects.range({ sheetId, zone });
  }

  GetRange(): WireObject {
    const range = this.GetRangeOrNullObject();
    if (!range) throw invalidArgument("the conditional format is applied to more than one range");
    return range;
  }

  GetRanges(): RangeAreas {
    return new RangeAreas(this.book, this.asked.sheetId, this.zones);
  }

  Delete(): void {
    this.book.run("REMOVE_CONDITIONAL_FORMAT", { sheetId: this.asked.sheetId, id: this.Id });
  }

  get CustomOrNullObject(): WireObject | null {
    return this.Type === "Custom" ? new CustomFormat(this) : null;
  }

  get Custom(): WireObject {
    return this.only(this.CustomOrNullObject);
  }

  get CellValueOrNullObject(): WireObject | null {
    return this.Type === "CellValue" ? new CellValueFormat(this) : null;
  }

  get CellValue(): WireObject {
    return this.only(this.CellValueOrNullObject);
  }

  private only(found: WireObject | null): WireObject {
    if (!found) throw new HostError("InvalidOperation", `This is no member of a ${this.Type} format.`);
    return found;
  }

  get rule(): CellRule {
    return this.format.rule as CellRule;
  }

  /** What the rule compares with, as seen from the first cell of the format's first range. */
  get formulas(): string[] {
    return this.rule.values.map(hostSpelling);
  }

  /** Sets what the rule compares with, as seen from the first cell of the range that the format was asked of. */
  put(formulas: readonly unknown[], operator = this.rule.operator): void {
    const { sheetId, zone } = this.asked;
    const first = this.zones[0] ?? zone;
    const values = formulas.map((formula) => {
      const text = String(formula);
      if (this.book.harshness.limits) checkRule(text);
      return spreadsheetSpelling(moved(text, cellName(zone.left, zone.top), cellName(first.left, first.top)));
    });
    const { ranges, ...format } = this.format;
    this.book.run("ADD_CONDITIONAL_FORMAT", {
      sheetId,
      cf: { ...format, rule: { ...this.rule, operator, values } },
      ranges: ranges.map((range) => this.book.getters.getRangeDataFromXc(sheetId, range)),
    });
  }
}

class CustomFormat implements WireObject {
  readonly $type = "CustomConditionalFormat";
  readonly $scalars = [];

  constructor(private readonly format: ConditionalFormat) {}

  get Rule(): WireObject {
    return new FormulaRule(this.format);
  }
}

class FormulaRule implements WireObject {
  readonly $type = "ConditionalFormatRule";
  readonly $scalars = ["Formula"];

  constructor(private readonly format: ConditionalFormat) {}

  get Formula(): string {
    return this.format.formulas[0] ?? "";
  }

  set Formula(formula: string) {
    this.format.put([formula]);
  }
}

class CellValueFormat implements WireObject {
  readonly $type = "CellValueConditionalFormat";
  readonly $scalars = ["Rule"];

  constructor(private readonly format: ConditionalFormat) {}

  get Rule(): CellValueRule {
    const [formula1, formula2] = this.format.formulas;
    const operator = CELL_VALUE[this.format.rule.operator] ?? "Invalid";
    return { formula1, ...(formula2 === undefined ? {} : { formula2 }), operator };
  }

  set Rule({ formula1, formula2, operator }: CellValueRule) {
    const operators = Object.keys(CELL_VALUE) as Operator[];
    const found = operators.find((one) => CELL_VALUE[one] === operator);
    if (found === undefined) throw invalidArgument(`"${operator}" is no operator of a conditional format`);
    this.format.put(
      [formula1, formula2].filter((one) => one !== undefined && one !== ""),
      found,
    );
  }
}

/** The formats that a range meets, the first to be looked at first. */
export class ConditionalFormatCollection implements WireCollection {
  readonly $type = "ConditionalFormatCollection";
  readonly $scalars = [];

  constructor(
    private readonly book: Book,
    private readonly area: Area,
  ) {}

  $items(): ConditionalFormat[] {
    const { sheetId, zone } = this.area;
    this.book.checkSheet(sheetId);
    return this.book.getters
      .getConditionalFormats(sheetId)
      .filter((format) => zonesOf(this.book, sheetId, format).some((one) => intersection(one, zone) !== null))
      .map(({ id }) => new ConditionalFormat(this.book, this.area, id));
  }

  GetCount(): number {
    return this.$items().length;
  }

  GetItem(id: string): ConditionalFormat {
    const item = this.$items().find(({ Id }) => Id === id);
    if (!item) throw itemNotFound(`there is no conditional format "${id}"`);
    return item;
  }

  GetItemAt(index: number): ConditionalFormat {
    const item = this.$items()[index];
    if (!item) throw itemNotFound(`there is no conditional format ${index}`);
    return item;
  }

  ClearAll(): void {
    for (const item of this.$items()) item.Delete();
  }
}

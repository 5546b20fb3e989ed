import { HostError, invalidArgument, itemAlreadyExists, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { columnLetters, isWholeColumns, isWholeRows, quotedSheetName } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";

export interface KeptName {
  comment: string;
  visible: boolean;
  /** The sheet a name belongs to, or null for the workbook. */
  scope: string | null;
}

const NEW_NAME: KeptName = { comment: "", visible: true, scope: null };

export const nameKey = (name: string) => `name/${name.toLowerCase()}`;

export const keptName = (book: Book, name: string): KeptName =>
  (book.kept(nameKey(name)) as KeptName | undefined) ?? NEW_NAME;

const fixed = ({ zone }: Area): string => {
  const columns = [zone.left, zone.right].map((column) => `$${columnLetters(column)}`);
  const rows = [zone.top, zone.bottom].map((row) => `$${row + 1}`);
  if (isWholeColumns(zone)) return columns.join(":");
  if (isWholeRows(zone)) return rows.join(":");
  const cells = columns.map((column, end) => `${column}${rows[end] ?? ""}`);
  return cells[0] === cells[1] ? (cells[0] ?? "") : cells.join(":");
};

/** An area as a name's formula spells it, every part fixed. */
export const fixedAddress = (book: Book, area: Area): string =>
  `${quotedSheetName(book.sheetName(area.sheetId))}!${fixed(area)}`;

export function namedArea(book: Book, name: string): Area | null {
  const range = book.getters.getNamedRange(name)?.range;
  return range ? { sheetId: range.sheetId, zone: range.zone } : null;
}

class NamedItem implements WireObject {
  readonly $type = "NamedItem";
  readonly $scalars = ["Comment", "Formula", "Name", "Scope", "Type", "Value", "Visible"];

  constructor(
    private readonly book: Book,
    readonly Name: string,
  ) {}

  get Id(): string {
    return this.Name;
  }

  get Type(): string {
    return "Range";
  }

  get Value(): string {
    return this.book.address(this.area);
  }

  get Formula(): string {
    return `=${fixedAddress(this.book, this.area)}`;
  }

  set Formula(formula: string) {
    const area = referencedArea(this.book, formula);
    const { Name } = this;
    const ranges = [this.book.getters.getRangeDataFromZone(area.sheetId, area.zone)];
    this.book.run("UPDATE_NAMED_RANGE", { oldRangeName: Name, newRangeName: Name, ranges });
  }

  get Scope(): string {
    return this.kept.scope === null ? "Workbook" : "Worksheet";
  }

  get Comment(): string {
    return this.kept.comment;
  }

  set Comment(comment: string) {
    this.keep({ comment });
  }

  get Visible(): boolean {
    return this.kept.visible;
  }

  set Visible(visible: boolean) {
    this.keep({ visible });
  }

  get Worksheet(): WireObject {
    const { scope } = this.kept;
    if (scope === null) throw itemNotFound(`the name ${this.Name} belongs to the whole workbook`);
    return this.book.objects.worksheet(scope);
  }

  GetRange(): WireObject {
    return this.book.objects.range(this.area);
  }

  GetRangeOrNullObject(): WireObject | null {
    const area = namedArea(this.book, this.Name);
    return area && this.book.objects.range(area);
  }

  Delete(): void {
    this.book.run("DELETE_NAMED_RANGE", { name: this.Name });
    this.book.keep(nameKey(this.Name), undefined);
  }

  private get area(): Area {
    const area = namedArea(this.book, this.Name);
    if (!area) throw itemNotFound(`there is no name "${this.Name}"`);
    return area;
  }

  private get kept(): KeptName {
    return keptName(this.book, this.Name);
  }

  private keep(change: Partial<KeptName>): void {
    this.book.keep(nameKey(this.Name), { ...this.kept, ...change });
  }
}

/** A name that a file gave a formula: it is kept as it is written, and not worked out. */
export interface FormulaName extends KeptName {
  name: string;
  formula: string;
}

const FORMULA_NAME = "formulaName/";

export const formulaNameKey = (name: string) => FORMULA_NAME + name.toLowerCase();

export const formulaNames = (book: Book): FormulaName[] =>
  book.keptUnder(FORMULA_NAME).map(([, kept]) => kept as FormulaName);

class FormulaItem implements WireObject {
  readonly $type = "NamedItem";
  readonly $scalars = ["Comment", "Formula", "Name", "Scope", "Type", "Value", "Visible"];
  readonly Type = "Error";
  readonly Value = "#N/A";

  constructor(
    private readonly book: Book,
    private readonly kept: FormulaName,
  ) {}

  get Id(): string {
    return this.kept.name;
  }

  get Name(): string {
    return this.kept.name;
  }

  get Comment(): string {
    return this.kept.comment;
  }

  get Visible(): boolean {
    return this.kept.visible;
  }

  get Scope(): string {
    return this.kept.scope === null ? "Workbook" : "Worksheet";
  }

  get Formula(): string {
    return this.kept.formula;
  }

  set Formula(formula: string) {
    this.book.keep(formulaNameKey(this.kept.name), { ...this.kept, formula });
  }

  GetRangeOrNullObject(): null {
    return null;
  }
}

function referencedArea(book: Book, reference: unknown): Area {
  if (typeof reference === "object" && reference !== null && "area" in reference) {
    return reference.area as Area;
  }
  const text = String(reference);
  try {
    return book.area(text.replace(/^=/, ""), book.getters.getActiveSheetId());
  } catch (reason) {
    if (!(reason instanceof HostError)) throw reason;
    throw invalidArgument(`a name in this spreadsheet can only stand for cells, not for ${text}`);
  }
}

/** The names of the workbook, or those that belong to one sheet. */
export class NamedItemCollection implements WireCollection {
  readonly $type = "NamedItemCollection";
  readonly $scalars = [];

  constructor(
    private readonly book: Book,
    private readonly scope: string | null,
  ) {}

  private get names(): string[] {
    return this.book.getters
      .getNamedRanges()
      .map(({ name }) => name)
      .filter((name) => keptName(this.book, name).scope === this.scope);
  }

  private get formulas(): FormulaName[] {
    return formulaNames(this.book).filter(({ scope }) => scope === this.scope);
  }

  $items(): WireObject[] {
    return [
      ...this.names.map((name) => new NamedItem(this.book, name)),
      ...this.formulas.map((kept) => new FormulaItem(this.book, kept)),
    ];
  }

  GetCount(): number {
    return this.names.length + this.formulas.length;
  }

  GetItemOrNullObject(name: string): WireObject | null {
    const found = this.names.find((other) => other.toLowerCase() === name.toLowerCase());
    if (found !== undefined) return new NamedItem(this.book, found);
    const kept = this.formulas.find((other) => other.name.toLowerCase() === name.toLowerCase());
    return kept === undefined ? null : new FormulaItem(this.book, kept);
  }

  GetItem(name: string): WireObject {
    const item = this.GetItemOrNullObject(name);
    if (!item) throw itemNotFound(`there is no name "${name}"`);
    return item;
  }

  Add(name: string, reference: unknown, comment = ""): WireObject {
    if (this.book.getters.getNamedRange(name)) throw itemAlreadyExists(name);
    const { sheetId, zone } = referencedArea(this.book, reference);
    const ranges = [this.book.getters.getRangeDataFromZone(sheetId, zone)];
    this.book.run("CREATE_NAMED_RANGE", { name, ranges });
    const kept: KeptName = { ...NEW_NAME, comment: comment ?? "", scope: this.scope };
    this.book.keep(nameKey(name), kept);
    return new NamedItem(this.book, name);
  }
}

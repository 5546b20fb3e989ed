import { HostError, invalidArgument, itemAlreadyExists, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { columnLetters, isWholeColumns, isWholeRows, quotedSheetName } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import { freeName, nameKey, namePrefix, newName } from "./kept-names";
import type { KeptName } from "./kept-names";

const keptName = (book: Book, name: string): KeptName =>
  (book.kept(nameKey(name)) as KeptName | undefined) ?? newName;

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

function namedArea(book: Book, name: string): Area | null {
  const range = book.getters.getNamedRange(name)?.range;
  return range ? { sheetId: range.sheetId, zone: range.zone } : null;
}

/** What a name says whose cells are gone. */
export const LOST_NAME = "#REF!";

export interface ListedName {
  /** As the spreadsheet knows it. */
  readonly inner: string;
  readonly shown: string;
  readonly kept: KeptName;
  /** Null where the cells are gone. */
  readonly area: Area | null;
}

/** The names whose cells are gone. */
function lostNames(book: Book): ListedName[] {
  const known = new Set(book.getters.getNamedRanges().map(({ name }) => name.toLowerCase()));
  return book.keptUnder(namePrefix).flatMap(([inner, value]) => {
    const kept = value as KeptName;
    const isGone = kept.scope !== null && !book.sheetExists(kept.scope);
    const { shown } = kept;
    return isGone || shown === undefined || known.has(inner) ? [] : [{ inner, shown, kept, area: null }];
  });
}

/** The names that stand for cells, those too whose cells are gone. */
export function listedNames(book: Book): ListedName[] {
  const listed = book.getters.getNamedRanges().map(({ name, range }) => {
    const kept = keptName(book, name);
    const area = { sheetId: range.sheetId, zone: range.zone };
    return { inner: name, shown: kept.shown ?? name, kept, area };
  });
  return [...listed, ...lostNames(book)];
}

class NamedItem implements WireObject {
  readonly $type = "NamedItem";
  readonly $scalars = ["Comment", "Formula", "Name", "Scope", "Type", "Value", "Visible"];

  constructor(
    private readonly book: Book,
    private readonly inner: string,
  ) {}

  get Name(): string {
    return this.kept.shown ?? this.inner;
  }

  get Id(): string {
    return this.Name;
  }

  get Type(): string {
    return this.area === null ? "Error" : "Range";
  }

  get Value(): string {
    return this.area === null ? LOST_NAME : this.book.address(this.area);
  }

  get Formula(): string {
    return `=${this.area === null ? LOST_NAME : fixedAddress(this.book, this.area)}`;
  }

  set Formula(formula: string) {
    const area = referencedArea(this.book, formula);
    const ranges = [this.book.getters.getRangeDataFromZone(area.sheetId, area.zone)];
    if (this.area === null) this.book.run("CREATE_NAMED_RANGE", { name: this.inner, ranges });
    else this.book.run("UPDATE_NAMED_RANGE", { oldRangeName: this.inner, newRangeName: this.inner, ranges });
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
    if (this.area === null) throw itemNotFound(`the name "${this.Name}" stands for no cells`);
    return this.book.objects.range(this.area);
  }

  GetRangeOrNullObject(): WireObject | null {
    return this.area && this.book.objects.range(this.area);
  }

  Delete(): void {
    if (this.area !== null) this.book.run("DELETE_NAMED_RANGE", { name: this.inner });
    this.book.keep(nameKey(this.inner), undefined);
  }

  private get area(): Area | null {
    return namedArea(this.book, this.inner);
  }

  private get kept(): KeptName {
    return keptName(this.book, this.inner);
  }

  private keep(change: Partial<KeptName>): void {
    this.book.keep(nameKey(this.inner), { ...this.kept, ...change });
  }
}

/** A name that a file gave a formula: it is kept as it is written, and not worked out. */
export interface FormulaName extends KeptName {
  name: string;
  formula: string;
}

const FORMULA_NAME = "formulaName/";

export const formulaNameKey = (name: string, scope: string | null) =>
  `${FORMULA_NAME}${scope ?? ""}/${name.toLowerCase()}`;

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
    this.book.keep(formulaNameKey(this.kept.name, this.kept.scope), { ...this.kept, formula });
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

  private get names(): ListedName[] {
    return listedNames(this.book).filter(({ kept }) => kept.scope === this.scope);
  }

  private get formulas(): FormulaName[] {
    return formulaNames(this.book).filter(({ scope }) => scope === this.scope);
  }

  $items(): WireObject[] {
    return [
      ...this.names.map(({ inner }) => new NamedItem(this.book, inner)),
      ...this.formulas.map((kept) => new FormulaItem(this.book, kept)),
    ];
  }

  GetCount(): number {
    return this.names.length + this.formulas.length;
  }

  GetItemOrNullObject(name: string): WireObject | null {
    const wanted = name.toLowerCase();
    const there = this.book.getters.getNamedRanges().find((one) => {
      const kept = keptName(this.book, one.name);
      return kept.scope === this.scope && (kept.shown ?? one.name).toLowerCase() === wanted;
    });
    if (there !== undefined) return new NamedItem(this.book, there.name);
    const found = lostNames(this.book).find(
      ({ kept, shown }) => kept.scope === this.scope && shown.toLowerCase() === wanted,
    );
    if (found !== undefined) return new NamedItem(this.book, found.inner);
    const kept = this.formulas.find((other) => other.name.toLowerCase() === name.toLowerCase());
    return kept === undefined ? null : new FormulaItem(this.book, kept);
  }

  GetItem(name: string): WireObject {
    const item = this.GetItemOrNullObject(name);
    if (!item) throw itemNotFound(`there is no name "${name}"`);
    return item;
  }

  Add(name: string, reference: unknown, comment = ""): WireObject {
    if (this.GetItemOrNullObject(name)) throw itemAlreadyExists(name);
    const { sheetId, zone } = referencedArea(this.book, reference);
    this.book.makeRoom({ sheetId, zone });
    const ranges = [this.book.getters.getRangeDataFromZone(sheetId, zone)];
    const inner = freeName(name, (other) => this.book.getters.getNamedRange(other) !== undefined);
    // Without the sheet the spreadsheet would hold the cells against the size of the one that is open.
    this.book.run("CREATE_NAMED_RANGE", { sheetId, name: inner, ranges });
    const kept: KeptName = { ...newName, comment: comment ?? "", scope: this.scope, shown: name };
    this.book.keep(nameKey(inner), kept);
    return new NamedItem(this.book, inner);
  }
}

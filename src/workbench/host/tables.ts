import { HostError, invalidArgument, itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import { intersection } from "./area";
import type { Area } from "./area";
import type { Book } from "./book";
import type { Position, Zone } from "./spreadsheet";

const nameKey = (sheetId: string, id: string) => `table/${sheetId}/${id}`;

interface Placed {
  readonly id: string;
  readonly sheetId: string;
  readonly zone: Zone;
}

const tablesOn = (book: Book, sheetId: string): Placed[] =>
  book.getters.getCoreTables(sheetId).map(({ id, range }) => ({ id, sheetId, zone: range.zone }));

/** The rows of a table under its head. */
const bodyOf = ({ zone }: Placed): Zone => ({ ...zone, top: zone.top + 1 });

class Table implements WireObject {
  readonly $type = "Table";
  readonly $scalars = ["Id", "Name", "ShowHeaders"];
  readonly ShowHeaders = true;

  constructor(
    private readonly book: Book,
    private readonly placed: Placed,
  ) {}

  get Id(): string {
    return this.placed.id;
  }

  get Name(): string {
    const { sheetId, id } = this.placed;
    return (this.book.kept(nameKey(sheetId, id)) as string | undefined) ?? `Table${id}`;
  }

  set Name(name: string) {
    const { sheetId, id } = this.placed;
    this.book.keep(nameKey(sheetId, id), name);
  }

  get Worksheet(): WireObject {
    return this.book.objects.worksheet(this.placed.sheetId);
  }

  private range(zone: Zone): WireObject {
    return this.book.objects.range({ sheetId: this.placed.sheetId, zone });
  }

  GetRange(): WireObject {
    return this.range(this.placed.zone);
  }

  GetDataBodyRange(): WireObject {
    return this.range(bodyOf(this.placed));
  }

  GetHeaderRowRange(): WireObject {
    return this.range({ ...this.placed.zone, bottom: this.placed.zone.top });
  }

  /** Leaves the cells as they are. */
  ConvertToRange(): WireObject {
    const { sheetId, zone } = this.placed;
    this.book.run("REMOVE_TABLE", { sheetId, target: [zone] });
    return this.range(zone);
  }
}

/** The tables of the workbook, of one sheet, or of those that a range meets. */
export class TableCollection implements WireCollection {
  readonly $type = "TableCollection";
  readonly $scalars = ["Count"];

  constructor(
    private readonly book: Book,
    private readonly sheetId: string | null,
    private readonly within: Zone | null = null,
  ) {}

  private get placed(): Placed[] {
    const { within } = this;
    const sheets = this.sheetId === null ? this.book.getters.getSheetIds() : [this.sheetId];
    const all = sheets.flatMap((sheetId) => tablesOn(this.book, sheetId));
    return within === null ? all : all.filter(({ zone }) => intersection(zone, within) !== null);
  }

  $items(): Table[] {
    return this.placed.map((one) => new Table(this.book, one));
  }

  get Count(): number {
    return this.placed.length;
  }

  GetCount(): number {
    return this.Count;
  }

  GetItemOrNullObject(key: string): Table | null {
    return (
      this.$items().find(({ Id, Name }) => Id === key || Name.toLowerCase() === key.toLowerCase()) ?? null
    );
  }

  GetItem(key: string): Table {
    const table = this.GetItemOrNullObject(key);
    if (!table) throw itemNotFound(`there is no table "${key}"`);
    return table;
  }

  /** Takes a range of this sheet, or an address. */
  Add(where: unknown, hasHeaders: boolean): WireObject {
    if (!hasHeaders) {
      throw new HostError("NotImplemented", "A table without a head is not implemented by this host.", 501);
    }
    const { sheetId, zone } = this.areaOf(where);
    const ranges = [this.book.getters.getRangeDataFromZone(sheetId, zone)];
    this.book.run("CREATE_TABLE", { sheetId, ranges, tableType: "static" });
    const made = tablesOn(this.book, sheetId).find((one) => intersection(one.zone, zone) !== null);
    if (!made) throw itemNotFound("the table was not made");
    return new Table(this.book, made);
  }

  private areaOf(where: unknown): Area {
    if (typeof where === "object" && where !== null && "area" in where) return where.area as Area;
    if (typeof where !== "string") throw invalidArgument("a range or an address is needed");
    return this.book.area(where, this.sheetId ?? this.book.getters.getActiveSheetId());
  }
}

/**
 * Fills the columns of tables that formulas were written into, where they hold nothing but formulas: a column is
 * worked out by one formula. The last one written is the column's.
 */
export function fillCalculatedColumns(book: Book, written: readonly Position[]): void {
  const sheetId = written[0]?.sheetId;
  if (sheetId === undefined) return;
  for (const table of tablesOn(book, sheetId)) {
    const body = bodyOf(table);
    const last = new Map<number, Position>();
    const rows = new Map<number, Set<number>>();
    for (const at of written) {
      const inside = intersection({ left: at.col, right: at.col, top: at.row, bottom: at.row }, body);
      if (!inside || book.formula(at) === null) continue;
      last.set(at.col, at);
      rows.set(at.col, (rows.get(at.col) ?? new Set()).add(at.row));
    }
    for (const from of last.values()) fillColumn(book, body, from, rows.get(from.col) ?? new Set());
  }
}

function fillColumn(book: Book, { top, bottom }: Zone, from: Position, written: ReadonlySet<number>): void {
  const others = Array.from({ length: bottom - top + 1 }, (_, down) => ({ ...from, row: top + down })).filter(
    ({ row }) => !written.has(row),
  );
  const isFree = (at: Position) => {
    const cell = book.getters.getCell(at);
    return !cell || cell.isFormula || cell.content === "";
  };
  if (!others.every(isFree)) return;
  const source = book.getters.getCell(from);
  if (!source?.isFormula) return;
  for (const at of others) {
    const formula = book.getters.getTranslatedCellFormula(
      from.sheetId,
      0,
      at.row - from.row,
      source.compiledFormula,
    );
    book.type(at, formula);
  }
}

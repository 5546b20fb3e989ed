import { union } from "./host/area";
import type { HostSession } from "./host/session";
import { listedNames } from "./host/names";
import { newWorkbook } from "./host/session";
import type { SheetSetup } from "./host/session";
import type { Model, Position, Zone } from "./host/spreadsheet";
import type { CellValue } from "./host/values";
import type { Situation } from "./host/harshness";
import type { Stretches } from "./host/stretches";
import { fillCalculatedColumns } from "./host/tables";
import type { BatchRecord, Disturbance, Traffic } from "./protocol/bridge";

/** A workbook file's bytes, made from a session and read into one. */
export interface XlsxCodec {
  write(session: HostSession): Promise<Uint8Array>;
  read(session: HostSession, bytes: Uint8Array): Promise<void>;
}

export interface SheetName {
  readonly name: string;
  readonly cells?: { readonly sheet: string; readonly zone: Zone };
}

/** The open workbook as tests and the page see it, beside what Office.js does to it. */
export class Workbench {
  constructor(
    protected readonly session: HostSession,
    private readonly codec: XlsxCodec,
  ) {}

  get model(): Model {
    return this.session.book.model;
  }

  /** Every batch the library has sent, with its answer. */
  get log(): readonly BatchRecord[] {
    return this.session.bridge.log;
  }

  /** Keeps no batch of those so far. */
  clearLog(): void {
    this.session.bridge.log.length = 0;
  }

  /** The largest messages so far; a test may set them back to 0. */
  get traffic(): Traffic {
    return this.session.bridge.traffic;
  }

  /** How long the add-in goes on without giving way; to be started and stopped. */
  get stretches(): Stretches {
    return this.session.stretches;
  }

  /** What a person does beside the add-in; a test sets it and takes it back. */
  get situation(): Situation {
    return this.session.situation;
  }

  /** Works out what manual calculation has left, as F9 does, and waits until no answer is owed. */
  calculated(): Promise<void> {
    return this.session.calculated();
  }

  /** Types into a cell, as a user does. */
  setCell(sheetName: string, xc: string, content: string): void {
    this.setCells(sheetName, { [xc]: content });
  }

  /** Types into several cells; one undo takes them all back. */
  setCells(sheetName: string, cells: Readonly<Record<string, string>>): void {
    const { book } = this.session;
    const sheetId = book.sheet(sheetName);
    const entries = Object.entries(cells).map(
      ([xc, content]) => [book.area(xc, sheetId).zone, content] as const,
    );
    // A limit judges what is typed by what its cells show.
    book.settle();
    book.asOneStep(() => {
      const all = entries.map(([zone]) => zone).reduce(union);
      book.makeRoom({ sheetId, zone: all });
      for (const [{ left: col, top: row }, content] of entries) {
        book.type({ sheetId, col, row }, content);
      }
      if (book.harshness.calculatedColumns) {
        fillCalculatedColumns(
          book,
          entries.map(([{ left: col, top: row }]) => ({ sheetId, col, row })),
        );
      }
    });
  }

  value(sheetName: string, xc: string): CellValue {
    return this.session.lookedAt.read(this.position(sheetName, xc)).value;
  }

  /** The text a cell shows. */
  text(sheetName: string, xc: string): string {
    return this.session.lookedAt.read(this.position(sheetName, xc)).text;
  }

  errorMessage(sheetName: string, xc: string): string | undefined {
    return this.session.lookedAt.read(this.position(sheetName, xc)).message;
  }

  formula(sheetName: string, xc: string): string | null {
    return this.session.book.formula(this.position(sheetName, xc));
  }

  sheetNames(): string[] {
    const { getters } = this.model;
    return getters.getSheetIds().map((id) => getters.getSheetName(id));
  }

  /** The names of a sheet with the cells that they stand for; without any where those are gone. */
  namesOf(sheetName: string): readonly SheetName[] {
    const { book } = this.session;
    const sheetId = book.sheet(sheetName);
    return listedNames(book)
      .filter(({ kept }) => kept.scope === sheetId)
      .map(({ shown, area }) => ({
        name: shown,
        ...(area === null ? {} : { cells: { sheet: book.sheetName(area.sheetId), zone: area.zone } }),
      }));
  }

  select(sheetName: string, xc: string): void {
    const { book } = this.session;
    book.select(book.area(xc, book.sheet(sheetName)));
  }

  undo(): void {
    this.model.dispatch("REQUEST_UNDO");
  }

  redo(): void {
    this.model.dispatch("REQUEST_REDO");
  }

  /** Makes the n-th batch from now on fail without executing. */
  failAt(batch: number): void {
    this.session.bridge.failAt(batch);
  }

  clearFail(): void {
    this.session.bridge.failAt(0);
  }

  /** Lets another person edit, and the host fail inside a batch, from now on; nothing given ends it. */
  disturb(disturbance: Disturbance = {}): void {
    this.session.bridge.disturb(disturbance);
  }

  /** All that the workbook holds, as it can be opened again. */
  copy(): object {
    return this.model.exportData();
  }

  /** What the spreadsheet has no place for, under the beginnings of its keys. */
  keptUnder(prefix: string): readonly (readonly [key: string, value: unknown])[] {
    return this.session.book.keptUnder(prefix);
  }

  /** Opens a copy in place of the present workbook. */
  open(copy: object): void {
    this.session.replace(copy);
  }

  /** Opens an empty workbook in place of the present one. */
  reset(sheets?: readonly SheetSetup[]): void {
    this.session.replace(newWorkbook(sheets));
  }

  exportXlsx(): Promise<Uint8Array> {
    return this.codec.write(this.session);
  }

  importXlsx(bytes: Uint8Array): Promise<void> {
    return this.codec.read(this.session, bytes);
  }

  private position(sheetName: string, xc: string): Position {
    const { book } = this.session;
    const { sheetId, zone } = book.area(xc, book.sheet(sheetName));
    return { sheetId, col: zone.left, row: zone.top };
  }
}

/** A sheet's part of a workbook file: its cells read, and chosen ones rewritten with every other character kept. */
import type { Pieces } from "../../host";
import { blockOf } from "../../host";
import type { FileCell, SharedTexts } from "./cell-store";
import { CellStore, placeKey } from "./cell-store";
import { Coverage } from "./coverage";
import type { LooseFormula, ReadOptions } from "./sheet-reader";
import { refuse, SheetReader } from "./sheet-reader";
import type { Text } from "./xml-walk";
import type { XmlElement } from "./xml-element";
import { passing } from "./xml-passing";
import type { Put, Added } from "./sheet-changes";
import type { FileLimit } from "./limit-rule";
import { validation } from "./limit-rule";
import { SheetWriter } from "./sheet-writer";
import { order } from "./sheet-order";

const keepsAll: ReadOptions = { keeps: () => true };

export class SheetPart {
  private readonly top = new Map<string, XmlElement>();
  private root: XmlElement | undefined;
  private readonly puts = new Map<number, Put>();
  /** Cells that the file lacks and that are wanted now, by row. */
  private readonly added = new Map<number, Added[]>();
  private readonly loosePuts = new Map<number, string>();
  /** Rules of limits as they are written. */
  private readonly rules: string[] = [];
  private readonly inserted: { readonly name: string; readonly text: string }[] = [];
  private readonly replaced = new Map<string, string>();
  private dropsFormulas = false;
  /** Cells with a rule of their own. */
  readonly validated = new Coverage();
  readonly looseFormulas: LooseFormula[] = [];
  /** Whether a formula was put where no value is any more until something calculates. */
  wantsCalculation = false;

  private constructor(
    readonly name: string,
    readonly held: CellStore,
  ) {}

  static *reading(
    name: string,
    text: Text,
    strings: SharedTexts,
    options: ReadOptions = keepsAll,
  ): Pieces<SheetPart> {
    const part = new SheetPart(name, new CellStore(strings, options.keepsLooks));
    const reader = new SheetReader(
      name,
      part.held,
      {
        root: (element) => (part.root = element),
        top: (element) => {
          if (!part.top.has(element.name)) part.top.set(element.name, element);
        },
        validated: (ranges) => {
          for (const range of ranges) part.addValidated(range);
        },
        loose: (formula) => part.looseFormulas.push(formula),
      },
      options,
    );
    yield* reader.reading(text);
    if (part.root?.name !== "worksheet" || !part.top.has("sheetData"))
      refuse(name, "is not a sheet's: save the file again from Excel, then hand over.");
    return part;
  }

  private addValidated(range: string): void {
    const block = blockOf(range);
    if (block !== undefined) this.validated.add(block);
  }

  get cells(): readonly FileCell[] {
    return Array.from({ length: this.held.length }, (_, i) => this.held.at(i));
  }

  /** A formula in place of the cell's own, or in a cell that had none; what the cell shows stays, but for an error. */
  putFormula(row: number, column: number, formula: string, partOfSpill: boolean): void {
    const cell = this.held.find(row, column);
    // What a program shows that does not know our functions is no answer of the formula's that stands there now.
    const losesValue = cell?.isError === true;
    if (losesValue) this.wantsCalculation = true;
    this.put(row, column, cell !== undefined, {
      formula: formula.replace(/^=/, ""),
      partOfSpill,
      losesValue,
    });
  }

  /** The cell without its formula; `value` is for one that shows nothing yet. */
  putValue(row: number, column: number, value: string | number): void {
    const cell = this.held.find(row, column);
    const isThere = cell !== undefined && (cell.value !== null || value === "");
    this.put(row, column, cell !== undefined, { value, isThere });
  }

  /** Every formula of a cell goes, and what its cell shows stays. */
  dropFormulas(): void {
    this.dropsFormulas = true;
  }

  private put(row: number, column: number, isThere: boolean, put: Put): void {
    if (isThere) {
      this.puts.set(placeKey(row, column), put);
      return;
    }
    const inRow = this.added.get(row) ?? [];
    inRow.push({ column, put });
    this.added.set(row, inRow);
  }

  putLoose({ index }: LooseFormula, formula: string): void {
    this.loosePuts.set(index, formula.replace(/^=/, ""));
  }

  addLimit(limit: FileLimit): void {
    this.rules.push(validation(this.prefix, limit));
  }

  /** An element right inside the sheet's, where the standard wants it. */
  insertTop(name: string, text: string): void {
    this.inserted.push({ name, text });
  }

  /** Another tag in the place of an element without content. */
  replaceTop(name: string, text: string): void {
    this.replaced.set(name, text);
  }

  topElement(name: string): XmlElement | undefined {
    return this.top.get(name);
  }

  /** Names the namespace that relations of the part are spelt in, and declares it where the part does not. */
  get relationPrefix(): { readonly prefix: string; readonly declaration: string } {
    const known = Object.entries(this.root?.attributes ?? {}).find(
      ([name, value]) => name.startsWith("xmlns:") && relationNamespaces.has(value),
    );
    if (known !== undefined) return { prefix: known[0].slice("xmlns:".length), declaration: "" };
    return { prefix: "r", declaration: ` xmlns:r="${[...relationNamespaces][0] ?? ""}"` };
  }

  get prefix(): string {
    return this.root?.prefix ?? "";
  }

  get isChanged(): boolean {
    return (
      (this.dropsFormulas && this.held.formulaElements > 0) ||
      this.puts.size > 0 ||
      this.added.size > 0 ||
      this.loosePuts.size > 0 ||
      this.rules.length > 0 ||
      this.inserted.length > 0 ||
      this.replaced.size > 0
    );
  }

  /** The part as it is to be now, from the text that it was read from. */
  *rewritten(text: Text): Generator<string> {
    const { prefix, rules } = this;
    const inserted = [...this.inserted];
    if (rules.length > 0 && !this.top.has("dataValidations"))
      inserted.push({
        name: "dataValidations",
        text: `<${prefix}dataValidations count="${rules.length}">${rules.join("")}</${prefix}dataValidations>`,
      });
    const writer = new SheetWriter(this.name, prefix, {
      puts: this.puts,
      added: [...this.added]
        .sort(([a], [b]) => a - b)
        .map(([row, cells]) => ({ row, cells: cells.sort((a, b) => a.column - b.column) })),
      loose: this.loosePuts,
      rules,
      inserted: inserted.sort((a, b) => order.indexOf(a.name) - order.indexOf(b.name)),
      replaced: this.replaced,
      dropsFormulas: this.dropsFormulas,
    });
    yield* passing(this.name, text, writer);
  }
}

const relationNamespaces = new Set([
  "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
  "http://purl.oclc.org/ooxml/officeDocument/relationships",
]);

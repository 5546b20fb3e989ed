/**
 * Formulas of a file that are no cell's: of names, table columns, validations, conditional formats. They become native,
 * or stay and are listed.
 */
import { asTyped, callsIn, holdsCalls } from "../../formulas";
import { looseHanded, rooms } from "../loose-native";
import type { CellNote } from "../../host";
import type { PackageParts } from "./package-parts";
import type { LooseFormula } from "./sheet-reader";
import type { Splice } from "./xml";
import type { XmlElement } from "./xml-element";
import { childrenNamed, walk } from "./xml-walk";
import { escapeXml, spliced } from "./xml";

/** Why a formula of ours cannot be read as one. */
export function unreadable(formula: string): string | undefined {
  try {
    callsIn(formula);
    return undefined;
  } catch (error) {
    if (error instanceof SyntaxError) return `${error.message}.`;
    throw error;
  }
}

const roomFor = {
  validation: rooms.validation,
  "conditional format": rooms.format,
  other: rooms.cell,
} as const satisfies Readonly<Record<LooseFormula["kind"], unknown>>;

export class LooseFormulas {
  /** Formulas left as they were, and why. */
  readonly left: CellNote[] = [];
  /** Formulas that are native now and say no more what they were, though those of the cells do. */
  readonly bare: CellNote[] = [];
  /** So many formulas are native now. */
  converted = 0;

  constructor(private readonly comesBack: boolean) {}

  private convert(
    formula: string,
    room: (typeof rooms)[keyof typeof rooms],
    where: { sheet: string; address: string },
  ): string | undefined {
    const outcome = looseHanded(formula, room, this.comesBack);
    if (outcome === undefined) return undefined;
    if ("left" in outcome) {
      this.left.push({ ...where, formula, note: outcome.left });
      return undefined;
    }
    this.converted++;
    if (outcome.bare !== undefined) this.bare.push({ ...where, formula, note: outcome.bare });
    return outcome.written;
  }

  /** Those inside a sheet's part. */
  inSheet(
    sheet: string,
    loose: readonly LooseFormula[],
    put: (formula: LooseFormula, native: string) => void,
  ): void {
    for (const one of loose) {
      const room = roomFor[one.kind];
      const address = `${one.kind} of ${one.at}`;
      const native = this.convert(one.formula, room, { sheet, address });
      if (native !== undefined) put(one, native);
    }
  }

  /** Names that belong to the whole workbook, or to one of the sheets. */
  inNames(parts: PackageParts, workbook: string, homes: (index: number) => string | undefined): void {
    const xml = parts.text(workbook);
    const splices = childrenNamed(workbook, xml, "definedNames", "definedName").flatMap((element) => {
      const { name = "", localSheetId } = element.attributes;
      const sheet = localSheetId === undefined ? "" : homes(Number(localSheetId));
      if (sheet === undefined) return [];
      const where = { sheet, address: `name ${name}` };
      return this.splice(element, this.convert(`=${asTyped(element.text)}`, rooms.cell, where));
    });
    if (splices.length > 0) parts.replace(workbook, spliced(xml, splices));
  }

  /** A table's formulas for the rows still to come; as values such rows get none. */
  inTable(parts: PackageParts, table: string, sheet: string, asValues: boolean): void {
    const xml = parts.text(table);
    const splices: Splice[] = [];
    walk(table, xml, {
      close: (element) => {
        const { name, parent, text, start, end } = element;
        if (name !== "calculatedColumnFormula" && name !== "totalsRowFormula") return;
        const formula = `=${asTyped(text)}`;
        const where = { sheet, address: `table column ${parent?.attributes.name ?? ""}` };
        if (asValues && name === "calculatedColumnFormula" && holdsCalls(formula))
          splices.push({ start, end, text: "" });
        else splices.push(...this.splice(element, this.convert(formula, rooms.cell, where)));
      },
    });
    if (splices.length > 0) parts.replace(table, spliced(xml, splices));
  }

  /** A chart reads cells and names, never a call: one that was written into its part all the same is listed. */
  inChart(parts: PackageParts, chart: string, sheet: string): void {
    const xml = parts.text(chart);
    walk(chart, xml, {
      close: ({ name, text }) => {
        const formula = `=${asTyped(text)}`;
        if (name === "f" && holdsCalls(formula))
          this.left.push({
            sheet,
            address: "chart",
            formula,
            note: "Left as it was: a chart reads cells, so put the formula into a cell and let the chart read that.",
          });
      },
    });
  }

  private splice({ inside, insideEnd }: XmlElement, native: string | undefined): readonly Splice[] {
    return native === undefined
      ? []
      : [{ start: inside, end: insideEnd, text: escapeXml(native.replace(/^=/, "")) }];
  }
}

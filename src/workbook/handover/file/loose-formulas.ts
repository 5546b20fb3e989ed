/**
 * Formulas that are no cell's: names, table columns, validations, conditional formats. No cell of theirs could show a
 * value, and no limit can watch their inputs, so they become native with the guards written out, or stay and are listed.
 */
import { attempt } from "../../attempt";
import type { Surroundings } from "../../calls";
import { callsIn, mayHoldCalls, rewriteNatively } from "../../calls";
import { NotFollowed } from "../../evaluate";
import type { CellNote } from "../plan";
import { whyNoForm } from "../plan";
import { callDepth, longest, tooMuch } from "../too-much";
import { asTyped } from "../../repair";
import type { PackageParts } from "./package-parts";
import type { LooseFormula } from "./sheet-part";
import type { Splice, XmlElement } from "./xml";
import { childrenNamed, escapeXml, spliced, walk } from "./xml";

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

const guarded: Surroundings = {
  isComputed: () => true,
  valueOf: ({ name }) => {
    throw new NotFollowed(`${name} has no native form, and this formula has no cell to show its value`);
  },
  spillOf: ({ name }) => {
    throw new NotFollowed(`${name} fills several cells`);
  },
};

type Outcome = { readonly native: string } | { readonly why: string };

function nativeOf(formula: string, most: number): Outcome {
  const why = tooMuch(formula);
  if (why !== undefined) return { why };
  const rewritten = attempt(() => rewriteNatively(formula, guarded));
  if ("why" in rewritten) return { why: whyNoForm(formula) ?? rewritten.why };
  const native = rewritten.text;
  return native.length > most ? { why: "Its native form is longer than Excel takes there." } : { native };
}

/** A formula left as it was, and why. */
export class LooseFormulas {
  readonly left: CellNote[] = [];

  private convert(
    formula: string,
    most: number,
    where: { sheet: string; address: string },
  ): string | undefined {
    if (!mayHoldCalls(formula) || callDepth(formula) === 0) return undefined;
    const outcome = nativeOf(formula, most);
    if ("native" in outcome) return outcome.native;
    this.left.push({ ...where, formula, note: `Left as it was: ${outcome.why}` });
    return undefined;
  }

  /** Those inside a sheet's part. */
  inSheet(
    sheet: string,
    loose: readonly LooseFormula[],
    put: (formula: LooseFormula, native: string) => void,
  ): void {
    for (const one of loose) {
      const most = one.kind === "validation" ? longest.validation : longest.cell;
      const address = `${one.kind} of ${one.at}`;
      const native = this.convert(one.formula, most, { sheet, address });
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
      return this.splice(element, this.convert(`=${asTyped(element.text)}`, longest.cell, where));
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
        if (asValues && name === "calculatedColumnFormula" && callDepth(formula) > 0)
          splices.push({ start, end, text: "" });
        else splices.push(...this.splice(element, this.convert(formula, longest.cell, where)));
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
        if (name === "f" && mayHoldCalls(formula) && callsIn(formula).length > 0)
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

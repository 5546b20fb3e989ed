/**
 * Formulas that are no cell's: names, table columns, validations, conditional formats. No cell of theirs could show a
 * value, and no limit can watch their inputs, so they become native with the guards written out, or stay and are listed.
 * Where a hand-over can come back they carry their originals as cells do; only a validation has no room for it.
 */
import { attempt } from "../../attempt";
import type { Surroundings } from "../../calls";
import { callsIn, mayHoldCalls, rewriteNatively } from "../../calls";
import { NotFollowed } from "../../evaluate";
import { beyondLimits } from "../../formula-limits";
import { carried } from "../carrier";
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

type Outcome = { readonly written: string; readonly bare?: string } | { readonly why: string };

const noRoom = {
  validation: "It cannot be brought back: the rule of a limit has no room for its original.",
  carrier: "It cannot be brought back: with its original beside it, it would be longer than Excel takes.",
} as const;

interface Room {
  readonly most: number;
  /** Whether there is room for the original, where it is wanted. */
  readonly carries: boolean;
}

const ofCell: Room = { most: longest.cell, carries: true };
const ofValidation: Room = { most: longest.validation, carries: false };

function outcomeOf(formula: string, { most, carries }: Room, comesBack: boolean): Outcome {
  const why = tooMuch(formula);
  if (why !== undefined) return { why };
  const rewritten = attempt(() => rewriteNatively(formula, guarded));
  if ("why" in rewritten) return { why: whyNoForm(formula) ?? rewritten.why };
  const native = rewritten.text;
  if (native.length > most) return { why: "Its native form is longer than Excel takes there." };
  if (!comesBack) return { written: native };
  if (!carries) return { written: native, bare: noRoom.validation };
  const carrier = carried(formula, native, () => true);
  return beyondLimits(carrier) === undefined
    ? { written: carrier }
    : { written: native, bare: noRoom.carrier };
}

export class LooseFormulas {
  /** Formulas left as they were, and why. */
  readonly left: CellNote[] = [];
  /** Formulas that are native now and say no more what they were, though those of the cells do. */
  readonly bare: CellNote[] = [];

  constructor(private readonly comesBack: boolean) {}

  private convert(
    formula: string,
    room: Room,
    where: { sheet: string; address: string },
  ): string | undefined {
    if (!mayHoldCalls(formula) || callDepth(formula) === 0) return undefined;
    const outcome = outcomeOf(formula, room, this.comesBack);
    if ("written" in outcome) {
      if (outcome.bare !== undefined) this.bare.push({ ...where, formula, note: outcome.bare });
      return outcome.written;
    }
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
      const room = one.kind === "validation" ? ofValidation : ofCell;
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
      return this.splice(element, this.convert(`=${asTyped(element.text)}`, ofCell, where));
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
        else splices.push(...this.splice(element, this.convert(formula, ofCell, where)));
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

/** What a file for one reader must not tell: the names and figures of what is not in it. */
import type { Scalar } from "../../evaluate";

/** Figures that stand in every text and tell nothing. */
const everywhere = new Set([0, 1]);

const numbersIn = /\d[\d,]*(?:\.\d+)?%?|\.\d+%?/g;

const numberOf = (text: string): number => {
  const number = Number(text.replace(/[,%]/g, ""));
  return text.endsWith("%") ? number / 100 : number;
};

/** The same figure whether a text or a cell holds it. */
const figureKey = (number: number): string => Math.abs(number).toPrecision(12);

export class LeftOut {
  private readonly figures = new Set<string>();
  private readonly shown = new Set<string>();
  private readonly sheets: readonly string[];

  constructor(sheets: readonly string[]) {
    this.sheets = sheets.map((name) => name.toLowerCase());
  }

  /** A cell is in the file, or is not. */
  take(value: Scalar, isShown: boolean): void {
    if (typeof value !== "number" || everywhere.has(Math.abs(value))) return;
    (isShown ? this.shown : this.figures).add(figureKey(value));
  }

  private isLeftOut(key: string): boolean {
    return this.figures.has(key) && !this.shown.has(key);
  }

  tells = (text: string): boolean => {
    const lower = text.toLowerCase();
    return (
      this.sheets.some((name) => lower.includes(name)) ||
      (text.match(numbersIn) ?? []).some((number) => this.isLeftOut(figureKey(numberOf(number))))
    );
  };
}

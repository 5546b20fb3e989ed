/** What a file for one reader must not tell: the names and figures of what is not in it. */
import type { Scalar } from "../../host";

/** Figures that stand in every text and tell nothing. */
const everywhere = new Set([0, 1]);

const numbersIn = /\d[\d,]*(?:\.\d+)?%?|\.\d+%?/g;

const numberOf = (text: string): number => {
  const number = Number(text.replace(/[,%]/g, ""));
  return text.endsWith("%") ? number / 100 : number;
};

/** The same figure whether a text or a cell holds it. */
const figureKey = (number: number): string => Math.abs(number).toPrecision(12);

/** Figures after the point, as the number is meant: two more where it is a percentage. */
const placesOf = (text: string): number =>
  (/\.(\d+)/.exec(text)?.[1]?.length ?? 0) + (text.endsWith("%") ? 2 : 0);

/** A number of so many figures, or an amount of money, tells of the figure that it was rounded from. */
const isTelling = (text: string, places: number): boolean => {
  const figures = text.replace(/\D/g, "").replace(/^0+/, "").length;
  return figures >= 4 || (figures === 3 && places === 2);
};

const roundedTo = (places: number, figures: Iterable<string>): Set<number> => {
  const rounded = new Set<number>();
  for (const figure of figures) rounded.add(Math.round(Number(figure) * 10 ** places));
  return rounded;
};

export class LeftOut {
  private readonly figures = new Set<string>();
  private readonly shown = new Set<string>();
  private readonly sheets: readonly string[];
  /** What is left out, rounded to so many places, without what is shown rounded alike. */
  private readonly rounded = new Map<number, ReadonlySet<number>>();

  constructor(sheets: readonly string[]) {
    this.sheets = sheets.map((name) => name.toLowerCase());
  }

  /** A cell is in the file, or is not. */
  take(value: Scalar, isShown: boolean): void {
    if (typeof value !== "number" || everywhere.has(Math.abs(value))) return;
    this.rounded.clear();
    (isShown ? this.shown : this.figures).add(figureKey(value));
  }

  private isLeftOut(text: string): boolean {
    const number = numberOf(text);
    const key = figureKey(number);
    if (this.shown.has(key)) return false;
    if (this.figures.has(key)) return true;
    const places = placesOf(text);
    return isTelling(text, places) && this.roundedTo(places).has(Math.round(number * 10 ** places));
  }

  private roundedTo(places: number): ReadonlySet<number> {
    const known = this.rounded.get(places);
    if (known !== undefined) return known;
    const left = roundedTo(places, this.figures);
    for (const one of roundedTo(places, this.shown)) left.delete(one);
    this.rounded.set(places, left);
    return left;
  }

  tells = (text: string): boolean => {
    const lower = text.toLowerCase();
    return (
      this.sheets.some((name) => lower.includes(name)) ||
      (text.match(numbersIn) ?? []).some((number) => this.isLeftOut(number))
    );
  };
}

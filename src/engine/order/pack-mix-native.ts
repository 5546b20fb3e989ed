/**
 * The native form of PACK_MIX. For up to three sizes it tries every mix that could be the answer, inside one formula
 * that needs no array entry; beyond its bounds, and for more sizes, it covers the need with one size alone.
 *
 * One size is the best buy: least price for what it holds, the largest of those. An answer takes few packs of the other
 * sizes: so many that they hold as much as whole packs of the best buy could be exchanged for such, which costs no more.
 * The rows of a table stand for the packs of one other size, its columns for those of the second, and each mix in it
 * leaves out as many packs of the best buy as the rest allows. Its cost, what it leaves over, its packs and the count
 * asked for are digits of one whole number, so that the least of all tells the count of the best mix.
 */
import type { CellByCell, WrittenRange } from "../own-form";

/** What stands in the formula for each thing: the need, and the sizes and prices cell by cell and as a whole. */
interface PackTexts {
  readonly need: string;
  readonly sizes: readonly string[];
  readonly allSizes: string;
  readonly prices?: readonly string[];
  readonly allPrices?: string;
  /** How many of the sizes stand in a row. */
  readonly columns: number;
}

/** Sizes that are searched; more of them have no formula of a length that a cell holds. */
const mostSizes = 3;
/** A longer search leaves no room for the original that its cell carries. */
const mostCharacters = 7000;
/** Rows and columns of the table together: packs of sizes other than the best buy are fewer than that. */
const tableSides = 64;
const othersAmong = (sizes: number): number => tableSides / Math.max(1, sizes - 1) - 1;
/** No size may hold more than so many packs of the best buy. */
const largestRatio = 4;
/** Each digit has room for what the packs of the others, all of the largest size, make of it. */
const packsDigit = tableSides * largestRatio;
const countDigit = 2 * packsDigit;
/** Beyond these the digits have no room, for a double holds whole numbers up to 2^53. */
const largestSize = "1E+4";
const largestSum = "6E+4";
/** A cent more weighs as much as all that sizes can leave over, in their grains. */
const costDigit = "1E+6";

const series = (from: number, to: number, separator: string): string =>
  `{${Array.from({ length: to - from + 1 }, (_one, i) => from + i).join(separator)}}`;

const all = (conditions: readonly string[]): string =>
  conditions.length === 1 ? (conditions[0] ?? "") : `AND(${conditions.join(",")})`;

interface Size {
  readonly place: number;
  readonly size: string;
  readonly price: string | undefined;
}

class Mix {
  private readonly packs: readonly Size[];
  /** So many packs of a size other than the best buy, and no more, are in the table. */
  private readonly most: number;

  constructor(private readonly texts: PackTexts) {
    this.packs = texts.sizes.map((size, place) => ({ place, size, price: texts.prices?.[place] }));
    this.most = othersAmong(this.packs.length);
  }

  /** Whole packs of one size alone. */
  private wholePacks({ size }: Size): string {
    return `ROUNDUP(ROUND(${this.texts.need}/${size},9),0)`;
  }

  /** Whether one size is as good a buy as another, or better. */
  private asGood(one: Size, other: Size): string {
    const larger = `${other.size}-${one.size}<=0`;
    if (one.price === undefined || other.price === undefined) return larger;
    return `ROUND(${one.price}*${other.size}-${other.price}*${one.size},6)*1E+12+${larger}`;
  }

  /** Which size is the best buy, counted from 1. */
  private bestBuy(from = 0): string {
    const [one, ...others] = this.packs.slice(from);
    if (one === undefined || others.length === 0) return String(this.packs.length);
    return `IF(${all(others.map((other) => this.asGood(one, other)))},${from + 1},${this.bestBuy(from + 1)})`;
  }

  /** How many grains make one of the unit that sizes are in: hundredths, or whole numbers where a size is large. */
  private get grain(): string {
    return `IF(MAX(${this.texts.allSizes})>99,1,100)`;
  }

  /** Whether sizes and prices are no finer and no larger than the digits tell apart. */
  private get fitsDigits(): string {
    const off = (range: string, grains: string) =>
      `SUMPRODUCT(ABS(${range}*${grains}-INT(${range}*${grains}+0.5)))`;
    const { allSizes, allPrices } = this.texts;
    const prices = allPrices === undefined ? "" : `+${off(allPrices, "100")}`;
    return `AND(MAX(${allSizes})<${largestSize},${off(allSizes, this.grain)}${prices}<1E-6)`;
  }

  /** Whether no answer takes more packs of the other size than the table has. */
  private fewEnough(other: Size, best: Size): string {
    const { need } = this.texts;
    // What so many packs of the other cost above the best buy's rate is more than one pack of that.
    const dearer =
      best.price === undefined || other.price === undefined
        ? ""
        : `${this.most}*${other.price}*${best.size}>${best.price}*(${best.size}+${this.most}*${other.size}),`;
    // Every number up to that many divides one of these.
    const multiples = series((this.most + 1) / 2, this.most + 1, ",");
    const exchanged = `SUMPRODUCT(MAX(COS(${multiples}*(2*PI()*${other.size}/${best.size}))))>1-1E-12`;
    return `OR(${need}<=${this.most}*${other.size},${dearer}${exchanged})`;
  }

  /** What one pack adds to the number of a mix: its cost, then what it holds, then itself, then the count asked for. */
  private weight({ size, price }: Size, counted: string): string {
    const cost = price === undefined ? "" : `${costDigit}*${price}+`;
    return `(ROUND(${cost}${size}*${this.grain},0)*${packsDigit * countDigit}+${countDigit}${counted})`;
  }

  /** The count of one size where another, or it itself, is the best buy. */
  private count(asked: Size, best: Size): string {
    const { need, allSizes } = this.texts;
    const others = this.packs.filter((one) => one !== best);
    const [first, second] = others;
    if (first === undefined) return this.wholePacks(best);
    const counts = [series(0, this.most, ";"), series(0, this.most, ",")];
    const sum = (term: (one: Size) => string) =>
      others.map((one, i) => `${counts[i] ?? ""}*${term(one)}`).join("+");
    const held = sum(({ size }) => size);
    const left = `INT((${held}+${this.wholePacks(best)}*${best.size}-${need})/${best.size}+1E-9)`;
    const sign = (one: Size, other: Size, than: Size, when: string) =>
      `1-2*((${one.size}-${than.size})*(${other.size}-${than.size})${when}0)`;
    // Of mixes alike in cost, left-over and packs, all cells take the one with the fewest of the first other size.
    const counted = (one: Size): string => {
      if (one !== asked) return "";
      if (second === undefined || one === first) return one === best ? "-1" : "+1";
      return one === best ? `-(${sign(best, first, second, "<")})` : `+${sign(first, second, best, ">")}`;
    };
    const overshot = `(${held}>${need}+${best.size}-0.0001)*1E+17`;
    const number = `SUMPRODUCT(MIN(${sum((one) => this.weight(one, counted(one)))}-${left}*${this.weight(best, counted(best))}+${overshot}))`;
    const digit = `ABS(MOD(${number}+${countDigit / 2},${countDigit})-${countDigit / 2})`;
    // Fifteen and more of the best buy for the sums themselves, and as many as the others may take the place of.
    const heldAtMost = `15*${best.size}+${others.map(({ size }) => `${this.most}*${size}`).join("+")}`;
    const affordable =
      best.price === undefined ? "" : `,${best.price}*(${heldAtMost})<${largestSum}*${best.size}`;
    const within = `AND(${others.map((one) => this.fewEnough(one, best)).join(",")},MAX(${allSizes})<=${largestRatio}*${best.size}${affordable})`;
    return asked === best ? `${this.wholePacks(best)}-IF(${within},${digit},0)` : `IF(${within},${digit},0)`;
  }

  searched(place: number): string {
    const asked = this.packs[place];
    if (asked === undefined) return "0";
    if (this.packs.length === 1) return this.wholePacks(asked);
    const counts = this.packs.map((best) => this.count(asked, best));
    return `IF(${this.fitsDigits},CHOOSE(${this.bestBuy()},${counts.join(",")}),${cheapestAlone(this.texts, place)})`;
  }
}

/** Whole packs of the size that costs least by itself, and none of the others. */
function cheapestAlone({ need, sizes, allSizes, allPrices, columns }: PackTexts, place: number): string {
  const numbered = sizes
    .map((_size, i) => `${i > 0 ? (i % columns === 0 ? ";" : ",") : ""}${i + 1}`)
    .join("");
  const rate = allPrices === undefined ? allSizes : `(${allPrices}+(SUM(${allPrices})=0)*${allSizes})`;
  const blank = `(${allSizes}=0)`;
  const packs = `INT(${need}/(${allSizes}+${blank})+1-1E-9)`;
  const least = `SUMPRODUCT(MIN(INT(${packs}*${rate}*100+0.5)*1000+{${numbered}}+${blank}*1E+15))`;
  const size = sizes[place] ?? "0";
  return `IF(MOD(${least},1000)=${place + 1},ROUNDUP(ROUND(${need}/${size},9),0),0)`;
}

/** A price for every size or for none of them. */
const everyPrice = ({ allSizes, allPrices = "" }: PackTexts): string =>
  `OR(SUM(${allPrices})=0,SUMPRODUCT((${allSizes}>0)*(${allPrices}>0))=SUMPRODUCT((${allSizes}>0)*1))`;

const oneSize = "the one size that costs least by itself covers the need";

/** The count of one size as a formula of its own. */
export const packMixByFormula: CellByCell = {
  form: "cell by cell",
  limits: `up to ${mostSizes} sizes and ${othersAmong(mostSizes)} packs of each but the best buy; beyond that whole packs of one size`,
  write: (given, { row, column, columns }) => {
    const [need, sizes, prices] = given as readonly [string, WrittenRange, WrittenRange | undefined];
    const inOne = (range: WrittenRange) =>
      range.cells.reduce<readonly string[]>((all, line) => [...all, ...line], []);
    const texts: PackTexts = {
      need,
      columns,
      sizes: inOne(sizes),
      allSizes: sizes.text,
      ...(prices === undefined ? {} : { prices: inOne(prices), allPrices: prices.text }),
    };
    if (
      prices !== undefined &&
      (prices.cells.length !== sizes.cells.length || texts.prices?.length !== texts.sizes.length)
    ) {
      return { text: "NA()" };
    }
    const place = row * columns + column;
    const priced = (text: string) => (prices === undefined ? text : `IF(${everyPrice(texts)},${text},NA())`);
    const searched = texts.sizes.length > mostSizes ? "" : priced(new Mix(texts).searched(place));
    if (texts.sizes.length > mostSizes || searched.length > mostCharacters) {
      const why =
        texts.sizes.length > mostSizes
          ? `More than ${mostSizes} sizes have no formula that tries every mix`
          : "A formula that tries every mix would be too long here, with the packs on a sheet of a long name";
      return {
        text: priced(cheapestAlone(texts, place)),
        told: `${why}: handed over, ${oneSize}.`,
        isPlainer: true,
      };
    }
    return {
      text: searched,
      ...(texts.sizes.length === 1 ? {} : { told: searchTold(texts) }),
    };
  },
};

const searchTold = ({ sizes, prices }: PackTexts): string =>
  `Handed over, every mix with up to ${othersAmong(sizes.length)} packs of each size but the best buy is tried, sizes to the hundredth (above 99 to the whole number)${prices === undefined ? "" : " and prices to the cent"}; where that is not enough, whole packs of one size alone cover the need.`;

import type { Pieces } from "../host";
import type { Gathering } from "./gathering";

/** Lists and objects within one another, and in all: far more than any outline file has, and few enough to be held. */
const deepestLists = 100;
const mostLists = 500_000;
/** Of one object. */
const mostMembers = 20_000;

/** Values read between two pauses. */
const valuesAtOnce = 2000;

const words: ReadonlyMap<string, unknown> = new Map<string, unknown>([
  ["true", true],
  ["false", false],
  ["null", null],
]);

const blanks: ReadonlySet<number> = new Set(Array.from(" \t\n\r", (blank) => blank.charCodeAt(0)));

/** Stands for a list or an object that is read in pieces. */
const isLong = Symbol("long");

/** Reads a text of JSON (RFC 8259) from its start to its end. */
class Reading {
  private at = 0;
  private lists = 0;
  private values = 0;

  constructor(
    private readonly text: string,
    private readonly gathering: Gathering,
  ) {}

  *whole(): Pieces<unknown> {
    const value = yield* this.value(0);
    return this.next() === "" ? value : this.damaged();
  }

  private damaged(): never {
    return this.gathering.refuse(
      "cannot be read as JSON: it is cut short or damaged, so save it again from the program that drew it.",
    );
  }

  private tooMuch(): never {
    return this.gathering.refuse(
      "holds far more than the outlines of a property: save only those, then try again.",
    );
  }

  private matched(pattern: RegExp): string {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text)?.[0] ?? "";
    this.at += found.length;
    return found;
  }

  /** The sign that comes next, blanks passed over; none at the end. */
  private next(): string {
    while (blanks.has(this.text.charCodeAt(this.at))) this.at++;
    return this.text.charAt(this.at);
  }

  private takes(sign: string): boolean {
    const found = this.next() === sign;
    if (found) this.at++;
    return found;
  }

  private isDue(): boolean {
    return ++this.values % valuesAtOnce === 0;
  }

  private get share(): number {
    return this.at / this.text.length;
  }

  private *value(depth: number): Pieces<unknown> {
    const value = this.short(depth);
    return value === isLong ? yield* this.opened(depth) : value;
  }

  private opened(depth: number): Pieces<unknown> {
    return this.takes("[") ? this.list(depth + 1) : this.members(depth + 1);
  }

  private *list(depth: number): Pieces<unknown[]> {
    const items: unknown[] = [];
    if (this.takes("]")) return items;
    do {
      const item = this.short(depth);
      items.push(item === isLong ? yield* this.opened(depth) : item);
      if (this.isDue()) yield this.share;
    } while (this.takes(","));
    return this.takes("]") ? items : this.damaged();
  }

  private *members(depth: number): Pieces<Record<string, unknown>> {
    this.at++;
    const members: Record<string, unknown> = {};
    if (this.takes("}")) return members;
    let count = 0;
    do {
      if (++count > mostMembers) this.tooMuch();
      const name = this.string();
      if (!this.takes(":")) this.damaged();
      const value = yield* this.value(depth);
      // Set as any other, a member of this name would become the object's own prototype.
      if (name === "__proto__") Object.defineProperty(members, name, { value, enumerable: true });
      else members[name] = value;
      if (this.isDue()) yield this.share;
    } while (this.takes(","));
    return this.takes("}") ? members : this.damaged();
  }

  /** A string, a number, a word or a short list of these last two; whatever else opens there is long. */
  private short(depth: number): unknown {
    const sign = this.next();
    if (sign === '"') return this.string();
    if (sign === "[" || sign === "{") {
      if (depth === deepestLists)
        this.gathering.refuse(
          "is nested too deeply for an outline file: save it again from the program that drew it.",
        );
      if (++this.lists > mostLists) this.tooMuch();
      const position = this.matched(/\[[-+\w.,\s]{0,200}\]/y);
      return position === "" ? isLong : this.parsed(position);
    }
    const number = this.matched(/-?(?:0|[1-9]\d*)(?:\.\d+)?(?:e[+-]?\d+)?/iy);
    if (number !== "") return Number(number);
    const word = this.matched(/[a-z]+/y);
    return words.has(word) ? words.get(word) : this.damaged();
  }

  private string(): string {
    if (this.next() !== '"') this.damaged();
    const from = this.at;
    let end = from;
    do {
      end = this.text.indexOf('"', end + 1);
      if (end < 0) this.damaged();
    } while (this.isEscaped(end));
    this.at = end + 1;
    return String(this.parsed(this.text.slice(from, end + 1)));
  }

  private parsed(text: string): unknown {
    try {
      return JSON.parse(text);
    } catch {
      return this.damaged();
    }
  }

  private isEscaped(at: number): boolean {
    let first = at;
    while (this.text.charAt(first - 1) === "\\") first--;
    return (at - first) % 2 === 1;
  }
}

/**
 * As JSON.parse reads it, which takes half a second for ten megabytes in one stretch. A text that is made to take many
 * times its length in memory is refused before it does.
 */
export const readingJson = (text: string, gathering: Gathering): Pieces<unknown> =>
  new Reading(text, gathering).whole();

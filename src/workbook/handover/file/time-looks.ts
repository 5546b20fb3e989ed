/** Looks for cells of ours that show a day or a time as another cell does: its number format, and nothing else of it. */
import { showsTime } from "../reader/number-format";
import type { PackageParts } from "./package-parts";
import type { XmlElement } from "./xml-element";
import { appended, spliced } from "./xml";
import { childrenNamed } from "./xml-walk";

/** Formats that every program knows by number and that show a day or a time (ISO/IEC 29500-1, 18.8.30). */
const known = [
  [14, 22],
  [27, 36],
  [45, 47],
  [50, 58],
] as const;

const isKnown = (format: number): boolean => known.some(([first, last]) => first <= format && format <= last);

export class TimeLooks {
  private readonly part: string | undefined;
  private readonly looks: readonly XmlElement[];
  private readonly codes: ReadonlyMap<string, string>;
  /** Number formats of the looks that are added, in their order. */
  private readonly added: string[] = [];

  constructor(
    private readonly parts: PackageParts,
    workbook: string,
  ) {
    const part = parts.relationsOf(workbook).find(({ type }) => type === "styles")?.target;
    this.part = part !== undefined && parts.has(part) ? part : undefined;
    this.looks = this.named("cellXfs", "xf");
    this.codes = new Map(
      this.named("numFmts", "numFmt").map(({ attributes: { numFmtId = "", formatCode = "" } }) => [
        numFmtId,
        formatCode,
      ]),
    );
  }

  private named(parent: string, name: string): readonly XmlElement[] {
    return this.part === undefined ? [] : childrenNamed(this.part, this.parts.text(this.part), parent, name);
  }

  /** The look for a cell that shows what a cell of some look does; undefined where that is no day or time. */
  like(look: number): number | undefined {
    const format = this.looks[look]?.attributes.numFmtId;
    if (format === undefined) return undefined;
    const code = this.codes.get(format);
    if (!(code === undefined ? isKnown(Number(format)) : showsTime(code))) return undefined;
    const at = this.added.indexOf(format);
    return this.looks.length + (at < 0 ? this.added.push(format) - 1 : at);
  }

  /** Writes the looks that were asked for behind those that are there. */
  write(): void {
    const all = this.looks[0]?.parent;
    if (this.part === undefined || all === undefined || this.added.length === 0) return;
    const xml = this.parts.text(this.part);
    const written = this.added.map(
      (format) =>
        `<${all.prefix}xf numFmtId="${format}" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>`,
    );
    const tag = xml.slice(all.start, all.inside);
    const counted = tag.replace(/(\scount\s*=\s*["'])\d+/, `$1${this.looks.length + this.added.length}`);
    this.parts.replace(
      this.part,
      spliced(xml, [
        { start: all.start, end: all.inside, text: counted },
        appended(xml, all, written.join("")),
      ]),
    );
  }
}

/** A workbook file as its parts: opened with care, since anyone may have made it, and closed with all else as it was. */
import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import { WorkbookTrouble } from "../../trouble";

/** What an honest workbook stays well inside of. */
const most = { file: 100e6, parts: 5_000, part: 250e6, all: 600e6 } as const;

const refuse = (sentence: string): never => {
  throw new WorkbookTrouble(sentence);
};

/** A name that would lead out of the package, or that no package has. */
const leadsAstray = (name: string): boolean =>
  name.startsWith("/") || name.includes("\\") || name.split("/").includes("..") || /^[a-z]:/i.test(name);

export class PackageParts {
  private constructor(private readonly parts: Map<string, Uint8Array>) {}

  static open(bytes: Uint8Array): PackageParts {
    if (bytes.length > most.file) refuse("The file is larger than 100 MB: hand over fewer sheets at a time.");
    let parts = 0;
    let all = 0;
    const passes = ({ name, originalSize }: { name: string; originalSize: number }): boolean => {
      parts++;
      all += originalSize;
      if (leadsAstray(name))
        refuse(`The file holds a part named ${name}, which no workbook has: it is not opened.`);
      if (parts > most.parts || originalSize > most.part || all > most.all) {
        refuse("The file unpacks to far more than a workbook holds: it is not opened.");
      }
      return true;
    };
    try {
      return new PackageParts(new Map(Object.entries(unzipSync(bytes, { filter: passes }))));
    } catch (error) {
      if (error instanceof WorkbookTrouble) throw error;
      throw new WorkbookTrouble(
        "The file is not a whole workbook file (.xlsx or .xlsm): save it again, then hand over.",
        {
          cause: error,
        },
      );
    }
  }

  has(name: string): boolean {
    return this.parts.has(name);
  }

  get names(): readonly string[] {
    return [...this.parts.keys()];
  }

  /** A part's text. XML that declares a document type could hide anything behind its entities. */
  text(name: string): string {
    const bytes = this.parts.get(name);
    if (bytes === undefined) return refuse(`The file lacks its part ${name}: save it again, then hand over.`);
    const text = strFromU8(bytes);
    if (/<!(DOCTYPE|ENTITY)/i.test(text)) {
      refuse(`The file's part ${name} declares entities, which no workbook does: it is not opened.`);
    }
    return text;
  }

  replace(name: string, text: string): void {
    this.parts.set(name, strToU8(text));
  }

  remove(name: string): void {
    this.parts.delete(name);
  }

  close(): Uint8Array {
    return zipSync(Object.fromEntries(this.parts), { level: 6 });
  }
}

const namedCharacters: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
};

export const unescapeXml = (text: string): string =>
  text.replace(/&(#x[0-9a-f]+|#\d+|\w+);/gi, (whole, name: string) => {
    if (name.startsWith("#")) {
      const code =
        name[1]?.toLowerCase() === "x" ? Number.parseInt(name.slice(2), 16) : Number(name.slice(1));
      return code <= 0x10ffff ? String.fromCodePoint(code) : whole;
    }
    return namedCharacters[name] ?? whole;
  });

export const escapeXml = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");

/** The attributes of a start tag, by name without its prefix. */
export function attributesOf(tag: string): Readonly<Record<string, string>> {
  const found: Record<string, string> = {};
  for (const [, name = "", double, single] of tag.matchAll(/(?:\w+:)?(\w+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g)) {
    found[name] = unescapeXml(double ?? single ?? "");
  }
  return found;
}

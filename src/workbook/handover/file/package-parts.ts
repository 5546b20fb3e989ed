/** A workbook file as its parts: opened with care, since anyone may have made it, and closed with all else as it was. */
import type { Pause } from "../../host";
import { atOnce, inSlices } from "../../host";
import type { XmlElement } from "./xml-element";
import { appended, escapeXml, spliced, without, xmlHead } from "./xml";
import { childrenNamed, walk } from "./xml-walk";
import type { ZipEntry } from "./zip";
import { bytesIn, isEncrypted, packing, readZip, unpacked, writeZip } from "./zip";
import type { Held } from "./part-text";
import { decoded, piecesOf, encodedPieces } from "./part-text";
import { most, refuseOtherFiles, tooMuch, leadsAstray, notWhole, isWhole } from "./package-limits";
import { refuse, sensible, printable, sensibly, damagedPart } from "./package-trouble";
import { keyOf, relationsName, freeName, relativeTo, resolved } from "./package-paths";

const relationshipNamespace = "http://schemas.openxmlformats.org/package/2006/relationships";
const relationsType = "application/vnd.openxmlformats-package.relationships+xml";
const contentTypes = "[Content_Types].xml";

export interface Relation {
  readonly id: string;
  /** The last step of the type's address. */
  readonly type: string;
  readonly target: string;
  readonly element: XmlElement;
}

/** All relations of a part, those to the outside included. */
const relationElements = (name: string, xml: string): readonly XmlElement[] =>
  childrenNamed(name, xml, "Relationships", "Relationship");

export class PackageParts {
  /** As it was opened, as long as it is so still. */
  private unchanged: Uint8Array | undefined;

  private constructor(
    private readonly parts: Map<string, Held>,
    opened?: Uint8Array,
  ) {
    this.unchanged = opened;
  }

  /** A package that holds nothing yet. */
  static empty(): PackageParts {
    return new PackageParts(new Map());
  }

  static open(bytes: Uint8Array): PackageParts {
    if (bytes.length > most.file) refuse("The file is larger than 100 MB: hand over fewer sheets at a time.");
    refuseOtherFiles(bytes);
    return new PackageParts(
      sensible(() => {
        const parts = new Map<string, Held>();
        let all = 0;
        for (const entry of readZip(bytes, most.parts)) {
          const { name, size, packed: content } = entry;
          all += size;
          const isBomb = size > most.small && size > bytesIn(content) * most.ratio;
          if (parts.size >= most.parts || size > most.part || all > most.all || isBomb) refuse(tooMuch);
          if (leadsAstray(name))
            refuse(
              `The file holds a part named ${printable(name)}, which no workbook has: it is not opened.`,
            );
          if (isEncrypted(entry))
            refuse("The file is locked with a password: take the password off, save it, then hand over.");
          if (parts.has(keyOf(name)))
            refuse(
              `The file holds its part ${printable(name)} twice: save it again from Excel, then hand over.`,
            );
          parts.set(keyOf(name), { name, entry, isNew: false });
        }
        return parts;
      }, notWhole),
      bytes,
    );
  }

  has(name: string): boolean {
    return this.parts.has(keyOf(name));
  }

  get names(): readonly string[] {
    return [...this.parts.values()].map(({ name }) => name);
  }

  private held(name: string): Held {
    return (
      this.parts.get(keyOf(name)) ??
      refuse(`The file lacks its part ${printable(name)}: save it again, then hand over.`)
    );
  }

  /** Unpacks a part that is wanted whole, in slices, so that its text is at hand. */
  async unpack(name: string, pause: Pause): Promise<void> {
    const held = this.held(name);
    const { entry } = held;
    if (held.isNew || held.text !== undefined || entry === undefined || !isWhole(entry)) return;
    held.text = decoded(name, await sensibly(() => inSlices(unpacked(entry), pause), damagedPart(name)));
  }

  text(name: string): string {
    const held = this.held(name);
    const { entry, pieces } = held;
    if (held.text !== undefined) return held.text;
    if (pieces !== undefined) return (held.text = [...pieces()].join(""));
    if (held.isNew || entry === undefined || !isWhole(entry)) return "";
    return (held.text = decoded(
      name,
      sensible(() => atOnce(unpacked(entry)), damagedPart(name)),
    ));
  }

  /** The text of a part piece by piece, each unpacked when it is asked for; it can be read as often as is wanted. */
  reading(name: string): Generator<string> {
    return piecesOf(this.held(name));
  }

  /** Puts another text in the place of a part's, made of it piece by piece. */
  rewrite(name: string, change: (text: Iterable<string>) => Iterable<string>): void {
    const before = this.held(name);
    this.replace(name, () => change(piecesOf(before)));
  }

  /** A part that is no text. */
  bytes(name: string): Uint8Array {
    const { entry, bytes, isNew } = this.held(name);
    if (isNew || entry === undefined) return bytes ?? new TextEncoder().encode(this.text(name));
    return sensible(() => atOnce(unpacked(entry)), damagedPart(name));
  }

  replace(name: string, content: string | Uint8Array | (() => Iterable<string>)): void {
    const before = this.parts.get(keyOf(name));
    const held =
      typeof content === "string"
        ? { text: content }
        : typeof content === "function"
          ? { pieces: content }
          : { bytes: content };
    this.unchanged = undefined;
    this.parts.set(keyOf(name), { name: before?.name ?? name, entry: before?.entry, ...held, isNew: true });
  }

  /** Adds a part of a content type, and says from where it is reached; answers with the relation's id. */
  add(name: string, text: string, contentType: string, from: string, relationType: string): string {
    this.replace(name, text);
    this.changeTypes((xml, types) => {
      const override = `<${types.prefix}Override PartName="/${escapeXml(name)}" ContentType="${contentType}"/>`;
      return [appended(xml, types, override)];
    });
    const relations = relationsName(from);
    if (!this.has(relations)) {
      this.replace(relations, `${xmlHead}<Relationships xmlns="${relationshipNamespace}"></Relationships>`);
      this.declareRelations(relations);
    }
    const xml = this.text(relations);
    const taken = new Set(relationElements(relations, xml).map(({ attributes }) => attributes.Id ?? ""));
    const id = freeName(taken, (number) => `rId${number}`);
    const root = rootOf(relations, xml);
    const target = escapeXml(relativeTo(from, name));
    const relation = `<${root.prefix}Relationship Id="${id}" Type="${relationType}" Target="${target}"/>`;
    this.replace(relations, spliced(xml, [appended(xml, root, relation)]));
    return id;
  }

  /** Most files have a default for all relations; where one names each of them, it names this one too. */
  private declareRelations(relations: string): void {
    if (this.contentTypeOf(relations) !== "") return;
    this.changeTypes((xml, types) => [
      appended(
        xml,
        types,
        `<${types.prefix}Override PartName="/${escapeXml(relations)}" ContentType="${relationsType}"/>`,
      ),
    ]);
  }

  /** Takes a part away, with its content type and the relation by which its owner reaches it. */
  remove(owner: string, { element, target }: Relation): void {
    const relations = relationsName(owner);
    this.replace(relations, spliced(this.text(relations), [without(element)]));
    this.changeTypes((xml) =>
      childrenNamed(contentTypes, xml, "Types", "Override")
        .filter(({ attributes }) => keyOf(attributes.PartName ?? "") === keyOf(`/${target}`))
        .map(without),
    );
    this.parts.delete(keyOf(target));
  }

  private changeTypes(splices: (xml: string, types: XmlElement) => Parameters<typeof spliced>[1]): void {
    const xml = this.text(contentTypes);
    const wanted = splices(xml, rootOf(contentTypes, xml));
    if (wanted.length > 0) this.replace(contentTypes, spliced(xml, wanted));
  }

  contentTypeOf(name: string): string {
    const xml = this.text(contentTypes);
    const own = childrenNamed(contentTypes, xml, "Types", "Override").find(
      ({ attributes }) => keyOf(attributes.PartName ?? "") === keyOf(`/${name}`),
    );
    const extension = keyOf(name.slice(name.lastIndexOf(".") + 1));
    const byName = childrenNamed(contentTypes, xml, "Types", "Default").find(
      ({ attributes }) => keyOf(attributes.Extension ?? "") === extension,
    );
    return (own ?? byName)?.attributes.ContentType ?? "";
  }

  /** What a part reaches inside the package, in the order of the file; the package itself is "". */
  relationsOf(part: string): readonly Relation[] {
    const name = relationsName(part);
    if (!this.has(name)) return [];
    return relationElements(name, this.text(name))
      .filter(({ attributes }) => attributes.TargetMode !== "External")
      .map((element) => {
        const { Id = "", Type = "", Target = "" } = element.attributes;
        return {
          id: Id,
          type: Type.slice(Type.lastIndexOf("/") + 1),
          target: resolved(part, Target),
          element,
        };
      });
  }

  /** The file's bytes, with what is new packed in slices. */
  async close(pause: Pause): Promise<Uint8Array> {
    if (this.unchanged !== undefined) return this.unchanged;
    const entries: ZipEntry[] = [];
    for (const held of this.parts.values()) {
      const { name, entry, bytes, isNew } = held;
      if (!isNew && entry !== undefined) entries.push(entry);
      else {
        const content = bytes === undefined ? encodedPieces(this.reading(name)) : [bytes];
        entries.push(
          await sensibly(() => inSlices(packing(name, content, entry?.time), pause), damagedPart(name)),
        );
      }
    }
    return writeZip(entries);
  }
}

function rootOf(part: string, xml: string): XmlElement {
  let root: XmlElement | undefined;
  walk(part, xml, {
    close(element) {
      root = element;
    },
  });
  return root ?? refuse(`The file's part ${printable(part)} is empty: save it again, then hand over.`);
}

/** The pictures of a page, each as its bare points: words that a picture carries with it, and what is cut off, go. */
import type { PackageParts } from "../file/package-parts";
import { attributeOf } from "../file/xml-element";
import { walk } from "../file/xml-walk";
import { escapeXml } from "../file/xml";
import type { XmlElement } from "../file/xml-element";

interface Corner {
  readonly column: number;
  readonly columnOffset: number;
  readonly row: number;
  readonly rowOffset: number;
}

export interface Picture {
  readonly extension: "png" | "jpeg";
  readonly bytes: Uint8Array;
  /** Read to those who do not see it; empty for a picture of someone else's. */
  readonly description: string;
  readonly from: Corner;
  readonly to: Corner | undefined;
  /** In the file's own small units. */
  readonly size: { readonly width: number; readonly height: number };
}

const pngStart = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] as const;
/** Chunks that say how the points look; all others hold words, places, times or a program's own notes. */
const pngChunks = new Set("IHDR PLTE IDAT IEND tRNS pHYs sRGB gAMA cHRM sBIT bKGD".split(" "));

function barePng(bytes: Uint8Array): Uint8Array | undefined {
  if (!pngStart.every((byte, i) => bytes[i] === byte)) return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const kept: Uint8Array[] = [bytes.subarray(0, pngStart.length)];
  let at: number = pngStart.length;
  while (at + 12 <= bytes.length) {
    const end = at + 12 + view.getUint32(at);
    if (end > bytes.length) return undefined;
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    if (pngChunks.has(type)) kept.push(bytes.subarray(at, end));
    if (type === "IEND") return joined(kept);
    at = end;
  }
  return undefined;
}

const marker = { start: 0xd8, end: 0xd9, scan: 0xda, adobe: 0xee, comment: 0xfe } as const;
const isApplication = (code: number): boolean => code > 0xe0 && code <= 0xef && code !== marker.adobe;

function bareJpeg(bytes: Uint8Array): Uint8Array | undefined {
  if (bytes[0] !== 0xff || bytes[1] !== marker.start) return undefined;
  const kept: Uint8Array[] = [bytes.subarray(0, 2)];
  let at = 2;
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const code = bytes[at + 1] ?? 0;
    if (code === marker.scan) {
      const end = endOfScan(bytes, at);
      return end === undefined ? undefined : joined([...kept, bytes.subarray(at, end)]);
    }
    const end = at + 2 + ((bytes[at + 2] ?? 0) << 8) + (bytes[at + 3] ?? 0);
    if (!isApplication(code) && code !== marker.comment) kept.push(bytes.subarray(at, end));
    at = end;
  }
  return undefined;
}

/** Inside the points a byte of all ones is never followed by the mark of the end. */
function endOfScan(bytes: Uint8Array, from: number): number | undefined {
  for (let at = from; at + 1 < bytes.length; at++)
    if (bytes[at] === 0xff && bytes[at + 1] === marker.end) return at + 2;
  return undefined;
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

interface Anchor {
  from: Record<string, number>;
  to: Record<string, number> | undefined;
  extent: Readonly<Record<string, string>>;
  blip: string | undefined;
  name: string;
  description: string;
  isWhole: boolean;
  isHidden: boolean;
  readonly isPicture: boolean;
}

const corner = ({ col = 0, colOff = 0, row = 0, rowOff = 0 }: Record<string, number>): Corner => ({
  column: col,
  columnOffset: colOff,
  row,
  rowOffset: rowOff,
});

const anchorNames = new Set(["twoCellAnchor", "oneCellAnchor", "absoluteAnchor"]);
const cornerNames = new Set(["col", "colOff", "row", "rowOff"]);
const sides = ["l", "t", "r", "b"] as const;

function anchorsOf(part: string, xml: string): readonly Anchor[] {
  const anchors: Anchor[] = [];
  const now = (): Anchor | undefined => anchors[anchors.length - 1];
  const within = (element: XmlElement, name: string): boolean => {
    for (let owner = element.parent; owner !== undefined; owner = owner.parent)
      if (owner.name === name) return true;
    return false;
  };
  walk(part, xml, {
    open(element) {
      const { name, attributes } = element;
      if (anchorNames.has(name))
        anchors.push({
          from: {},
          to: undefined,
          extent: {},
          blip: undefined,
          name: "",
          description: "",
          isWhole: true,
          isHidden: false,
          isPicture: false,
        });
      const anchor = now();
      if (anchor === undefined) return;
      if (name === "pic" && anchorNames.has(element.parent?.name ?? ""))
        anchors[anchors.length - 1] = { ...anchor, isPicture: true };
      else if (name === "blip" && within(element, "pic")) anchor.blip = attributeOf(element, "embed");
      else if (name === "srcRect")
        anchor.isWhole &&= sides.every((side) => Number(attributes[side] ?? 0) === 0);
      else if (name === "cNvPr") {
        anchor.name = attributes.name ?? "";
        anchor.description = attributes.descr ?? "";
        anchor.isHidden = ["1", "true"].includes(attributes.hidden ?? "");
      } else if (name === "ext" && attributes.cx !== undefined) anchor.extent = attributes;
    },
    close({ name, parent, text }) {
      const anchor = now();
      if (anchor === undefined || !cornerNames.has(name)) return;
      if (parent?.name === "from") anchor.from[name] = Number(text);
      if (parent?.name === "to") (anchor.to ??= {})[name] = Number(text);
    },
  });
  return anchors;
}

export interface Found {
  readonly pictures: readonly Picture[];
  /** Drawings that are no plain picture in sight: charts, shapes, cropped or hidden pictures. */
  readonly left: number;
}

/** The name that a drawing of ours is put on a sheet by. */
const ourName = /^Swardsheet (\w+)$/;

/** The pictures of a page that stand on cells which are kept. */
export function picturesOf(
  parts: PackageParts,
  sheetPart: string,
  wanted: {
    readonly isKept: (row: number, column: number) => boolean;
    /** Drawings of ours that the reader may see. */
    readonly drawings: ReadonlySet<string>;
    readonly tells: (text: string) => boolean;
  },
): Found {
  const pictures: Picture[] = [];
  let left = 0;
  for (const { type, target } of parts.relationsOf(sheetPart)) {
    if (type !== "drawing" || !parts.has(target)) continue;
    const media = new Map(parts.relationsOf(target).map((relation) => [relation.id, relation.target]));
    for (const anchor of anchorsOf(target, parts.text(target))) {
      const from = corner(anchor.from);
      if (!wanted.isKept(from.row, from.column)) continue;
      const own = ourName.exec(anchor.name)?.[1];
      const image = media.get(anchor.blip ?? "");
      const isWanted = anchor.isPicture && anchor.isWhole && !anchor.isHidden;
      if (!isWanted || image === undefined || (own !== undefined && !wanted.drawings.has(own))) {
        left++;
        continue;
      }
      const bytes = parts.has(image) ? parts.bytes(image) : new Uint8Array();
      const [png, jpeg] = [barePng(bytes), bareJpeg(bytes)];
      const bare = png ?? jpeg;
      if (bare === undefined) {
        left++;
        continue;
      }
      pictures.push({
        extension: png === undefined ? "jpeg" : "png",
        bytes: bare,
        description: own === undefined || wanted.tells(anchor.description) ? "" : anchor.description,
        from,
        to: anchor.to === undefined ? undefined : corner(anchor.to),
        size: { width: Number(anchor.extent.cx ?? 0), height: Number(anchor.extent.cy ?? 0) },
      });
    }
  }
  return { pictures, left };
}

const cornerXml = (name: string, { column, columnOffset, row, rowOffset }: Corner): string =>
  `<xdr:${name}><xdr:col>${column}</xdr:col><xdr:colOff>${columnOffset}</xdr:colOff><xdr:row>${row}</xdr:row><xdr:rowOff>${rowOffset}</xdr:rowOff></xdr:${name}>`;

/** A drawing's part that shows the pictures, the first of which is related to it as rId1. */
export function drawingXml(pictures: readonly Picture[]): string {
  const anchors = pictures.map(({ from, to, size, description }, i) => {
    const extent = `cx="${size.width}" cy="${size.height}"`;
    const picture =
      `<xdr:pic><xdr:nvPicPr><xdr:cNvPr id="${i + 2}" name="Picture ${i + 1}" descr="${escapeXml(description)}"/><xdr:cNvPicPr/></xdr:nvPicPr>` +
      `<xdr:blipFill><a:blip r:embed="rId${i + 1}"/><a:stretch><a:fillRect/></a:stretch></xdr:blipFill>` +
      `<xdr:spPr><a:xfrm><a:off x="0" y="0"/><a:ext ${extent}/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom></xdr:spPr></xdr:pic><xdr:clientData/>`;
    return to === undefined
      ? `<xdr:oneCellAnchor>${cornerXml("from", from)}<xdr:ext ${extent}/>${picture}</xdr:oneCellAnchor>`
      : `<xdr:twoCellAnchor editAs="oneCell">${cornerXml("from", from)}${cornerXml("to", to)}${picture}</xdr:twoCellAnchor>`;
  });
  return (
    '<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">' +
    `${anchors.join("")}</xdr:wsDr>`
  );
}

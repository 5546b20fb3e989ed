/** Large workbook files, written piece by piece so that a test holds little of them itself. */
import { strToU8, Zip, ZipDeflate } from "fflate";
import { plainWorkbook } from "./libreoffice";
import { textsOf } from "./file-parts";

export interface LargeFile {
  /** Of the sheet's part as unpacked, in bytes. */
  readonly unpacked: number;
  readonly calls: number;
}

const head =
  '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n' +
  '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>';
const tail = "</sheetData></worksheet>";

/** As different as figures that were measured: what repeats packs far tighter than an honest file. */
const noise = (row: number): number => Math.abs(Math.sin(row * 12.9898) * 43758.5453) % 1;

/** A row of figures, texts, a yes or no, a formula of someone's and, in as many rows as are wanted, a call of ours. */
export function mixedRow(row: number, isCall: boolean): string {
  const area = Math.round(noise(row) * 90_000) + 100;
  const called = isCall
    ? `<c r="H${row}" s="0"><f>_xldudf_SWARD_PACKS(B${row},40)</f><v>${Math.ceil(area / 40)}</v></c>`
    : `<c r="H${row}" s="0"><v>${(noise(row + 0.5) * 1000).toFixed(3)}</v></c>`;
  return (
    `<row r="${row}" spans="1:8"><c r="A${row}" t="s"><v>${row % 1000}</v></c><c r="B${row}"><v>${area}</v></c>` +
    `<c r="C${row}" t="inlineStr"><is><t>bed ${Math.round(noise(row + 0.25) * 1e9)}</t></is></c>` +
    `<c r="D${row}" t="b"><v>${row % 2}</v></c><c r="E${row}"><f>B${row}*2+${row % 7}</f><v>${area * 2 + (row % 7)}</v></c>` +
    `<c r="F${row}" t="str"><f>"row "&amp;ROW()</f><v>row ${row}</v></c><c r="G${row}" s="0"/>${called}</row>`
  );
}

/** A sheet's text in pieces, until it is as long as wanted. */
export function* mixedSheet({ unpacked, calls }: LargeFile): Generator<string> {
  yield head;
  let length = head.length + tail.length;
  const rows = Math.max(1, Math.floor(unpacked / 400));
  const every = calls === 0 ? Number.POSITIVE_INFINITY : Math.max(1, Math.floor(rows / calls));
  let made = 0;
  for (let row = 1; length < unpacked && row <= 1_048_576; row++) {
    const isCall = row % every === 0 && made < calls;
    if (isCall) made++;
    const text = mixedRow(row, isCall);
    length += text.length;
    yield text;
  }
  yield tail;
}

const strings =
  '<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">' +
  Array.from({ length: 1000 }, (_, i) => `<si><t>zone ${i} &amp; more</t></si>`).join("") +
  "</sst>";
const stringsType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml";
const relationType = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings";

/** Packs pieces of text into a part as they come. */
function packed(parts: Readonly<Record<string, Iterable<string>>>): Uint8Array {
  const out: Uint8Array[] = [];
  const zip = new Zip((error, bytes) => {
    if (error !== null) throw error;
    out.push(bytes);
  });
  for (const [name, pieces] of Object.entries(parts)) {
    const part = new ZipDeflate(name, { level: 6 });
    zip.add(part);
    for (const piece of inPortions(pieces)) part.push(strToU8(piece));
    part.push(new Uint8Array(), true);
  }
  zip.end();
  return Buffer.concat(out);
}

function* inPortions(pieces: Iterable<string>): Generator<string> {
  let portion = "";
  for (const piece of pieces) {
    portion += piece;
    if (portion.length > 0x10000) {
      yield portion;
      portion = "";
    }
  }
  yield portion;
}

/** The least workbook with a sheet "Zones" of a given text. */
export function fileOfSheet(sheet: Iterable<string>): Uint8Array {
  const small = textsOf(plainWorkbook([{ sheet: "Zones", address: "A1", content: 1 }]));
  const types = small["[Content_Types].xml"] ?? "";
  const relations = small["xl/_rels/workbook.xml.rels"] ?? "";
  return packed({
    ...Object.fromEntries(Object.entries(small).map(([name, text]) => [name, [text]])),
    "[Content_Types].xml": [
      types.replace(
        "</Types>",
        `<Override PartName="/xl/sharedStrings.xml" ContentType="${stringsType}"/></Types>`,
      ),
    ],
    "xl/_rels/workbook.xml.rels": [
      relations.replace(
        "</Relationships>",
        `<Relationship Id="rId9" Type="${relationType}" Target="sharedStrings.xml"/></Relationships>`,
      ),
    ],
    "xl/sharedStrings.xml": [strings],
    "xl/sheet1.xml": sheet,
  });
}

export const largeFile = (wanted: LargeFile): Uint8Array => fileOfSheet(mixedSheet(wanted));

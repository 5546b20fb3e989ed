import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";

export type FileParts = Readonly<Record<string, string>>;

/** Every part, byte by byte as characters, so that parts which are no text compare too. */
export const partsOf = (bytes: Uint8Array): FileParts =>
  Object.fromEntries(Object.entries(unzipSync(bytes)).map(([name, part]) => [name, strFromU8(part, true)]));

/** Every part read as text. */
export const textsOf = (bytes: Uint8Array): FileParts =>
  Object.fromEntries(Object.entries(unzipSync(bytes)).map(([name, part]) => [name, strFromU8(part)]));

/** The file with parts added or replaced. */
export const withParts = (bytes: Uint8Array, more: FileParts): Uint8Array =>
  zipSync({
    ...unzipSync(bytes),
    ...Object.fromEntries(Object.entries(more).map(([name, text]) => [name, strToU8(text)])),
  });

/** The file with a part that is no text. */
export const withBytes = (bytes: Uint8Array, name: string, part: Uint8Array): Uint8Array =>
  zipSync({ ...unzipSync(bytes), [name]: part });

/** The file with parts changed by a work on their text. */
export function withEdited(
  bytes: Uint8Array,
  edits: Readonly<Record<string, (xml: string) => string>>,
): Uint8Array {
  const texts = textsOf(bytes);
  return withParts(
    bytes,
    Object.fromEntries(
      Object.entries(edits).map(([name, edit]) => {
        const before = texts[name] ?? "";
        const after = edit(before);
        if (after === before) throw new Error(`Nothing changed in ${name}.`);
        return [name, after];
      }),
    ),
  );
}

/** The names of parts that differ, are missing or are new. */
export function differingParts(before: Uint8Array, after: Uint8Array): readonly string[] {
  const [was, is] = [partsOf(before), partsOf(after)];
  return [...new Set([...Object.keys(was), ...Object.keys(is)])]
    .filter((name) => was[name] !== is[name])
    .sort();
}

const element = (address: string): RegExp => new RegExp(`<c r="${address}"(?:[^>]*/>|[\\s\\S]*?</c>)`, "g");

/** A sheet's part without some of its cells, and without rows that then hold nothing. */
export const withoutCells = (xml: string, addresses: readonly string[]): string =>
  addresses
    .reduce((text, address) => text.replace(element(address), ""), xml)
    .replace(/<row[^>]*><\/row>/g, "");

/** A sheet's part without the validations that the hand-over adds. */
export const withoutLimits = (xml: string): string =>
  xml
    .replace(/<dataValidation [^>]*errorTitle="[^"]*\(handed over\)"[\s\S]*?<\/dataValidation>/g, "")
    .replace(/<dataValidations[^>]*><\/dataValidations>/, "")
    .replace(/(<dataValidations[^>]*) count="\d+"/, "$1");

/** A part without the texts inside its formulas: what a formula only says, it does not call. */
export const withoutTexts = (xml: string): string => xml.replace(/&quot;(?:(?!&quot;)[\s\S])*&quot;/g, "");

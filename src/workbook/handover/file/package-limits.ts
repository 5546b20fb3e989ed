/** What an opened package is held to: what is no workbook, or would unpack without end, is refused. */
import type { ZipEntry } from "./zip";
import { refuse } from "./package-trouble";

/**
 * What an honest workbook stays well inside of; only a part beyond `small` is asked how tightly it is packed, and one
 * beyond `whole` is read piece by piece only, as sheets are.
 */
export const most = {
  file: 100e6,
  parts: 5_000,
  part: 500e6,
  whole: 120e6,
  all: 1_000e6,
  small: 10e6,
  ratio: 200,
} as const;

/** A name that would lead out of the package, or that no package has. */
export const leadsAstray = (name: string): boolean =>
  name === "" ||
  name.startsWith("/") ||
  /[\\\u0000-\u001f]/.test(name) ||
  name.split("/").some((step) => step === ".." || step === ".") ||
  /^[a-z]:/i.test(name);

const packageStart = [0x50, 0x4b];

/** How a compound file starts (MS-CFB): what Excel writes for a file with a password, and what .xls files are. */
const compoundStart = [0xd0, 0xcf, 0x11, 0xe0];

const startsWith = (bytes: Uint8Array, start: readonly number[]): boolean =>
  start.every((byte, i) => bytes[i] === byte);

/** Names inside a compound file are in 16-bit characters. */
const holdsWideText = (bytes: Uint8Array, text: string): boolean => {
  const wide = [...text].map((letter) => `${letter}\0`).join("");
  return new TextDecoder("latin1").decode(bytes).includes(wide);
};

export const notWhole =
  "The file is not a whole workbook file (.xlsx or .xlsm): save it again, then hand over.";

export function refuseOtherFiles(bytes: Uint8Array): void {
  if (startsWith(bytes, packageStart)) return;
  if (!startsWith(bytes, compoundStart)) refuse(notWhole);
  refuse(
    holdsWideText(bytes, "EncryptedPackage")
      ? "The file is locked with a password: take the password off, save it, then hand over."
      : "The file is in the older .xls form: save it as .xlsx or .xlsm, then hand over.",
  );
}

export const tooMuch = "The file unpacks to far more than a workbook holds: it is not opened.";

export const isWhole = ({ size }: ZipEntry): boolean => size <= most.whole || refuse(tooMuch);

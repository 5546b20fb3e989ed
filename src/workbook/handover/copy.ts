/** Files made from this workbook: the host gives its bytes, a file is made of them, the host opens it or it is saved. */
import type { Pause, Progress } from "../host";
import { fileBytes, openFile, slices } from "../host";
import type { FileCopy } from "./file/rewrite-file";
import type { FileCopyOptions } from "./file/copy-options";
import { rewriteFile } from "./file/rewrite-file";
import type { ReaderFile } from "./reader/one-reader";
import type { ReaderOptions } from "./reader/reader-options";
import { readerFile } from "./reader/reader-file";

const bytesPerPiece = 0x8000;

async function asBase64(bytes: Uint8Array, pause: Pause): Promise<string> {
  const pieces: string[] = [];
  for (let i = 0; i < bytes.length; i += bytesPerPiece) {
    pieces.push(String.fromCharCode(...bytes.subarray(i, i + bytesPerPiece)));
    await pause(i, bytes.length);
  }
  return btoa(pieces.join(""));
}

/** A file that the host did not open: the person saves it. */
export interface FileToSave {
  readonly extension: "xlsx" | "xlsm";
  readonly bytes: Uint8Array;
  /** Why it is not open, in a sentence. */
  readonly why: string;
}

const why = {
  macros: "Excel opens no workbook with macros from an add-in: save the file, then open it.",
  refused: "Excel did not open the file: save it, then open it.",
} as const;

/** Opens a file beside this workbook; what the host does not open is given back to be saved, and never lost. */
async function opened(
  bytes: Uint8Array,
  hasMacros: boolean,
  progress: Progress,
): Promise<FileToSave | undefined> {
  if (hasMacros) return { extension: "xlsm", bytes, why: why.macros };
  const toSave: FileToSave = { extension: "xlsx", bytes, why: why.refused };
  const text = await asBase64(bytes, slices(progress, "Opening the file"));
  try {
    await openFile(text);
    return undefined;
  } catch {
    return toSave;
  }
}

export interface Delivered<T> {
  readonly file: Omit<T, "bytes">;
  readonly toSave: FileToSave | undefined;
}

async function delivered<T extends { readonly bytes: Uint8Array; readonly hasMacros?: boolean }>(
  made: T,
  progress: Progress,
): Promise<Delivered<T>> {
  const { bytes, ...file } = made;
  return { file, toSave: await opened(bytes, made.hasMacros === true, progress) };
}

/** Opens a handed-over copy of the workbook; the workbook itself is not touched. */
export const handOverCopy = async (
  options: FileCopyOptions,
  progress: Progress,
): Promise<Delivered<FileCopy>> =>
  delivered(await rewriteFile(await fileBytes(progress), options, progress), progress);

/** Opens a file for one reader; the workbook itself is not touched. */
export const handToReader = async (
  options: ReaderOptions,
  progress: Progress,
): Promise<Delivered<ReaderFile>> =>
  delivered(await readerFile(await fileBytes(progress), options, progress), progress);

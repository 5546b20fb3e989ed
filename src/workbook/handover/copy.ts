/** Handing over a copy: the host gives the workbook's bytes, we rewrite them, the host opens the result beside it. */
import type { Progress } from "../progress";
import { pass } from "../progress";
import { asSentence, WorkbookTrouble } from "../trouble";
import type { FileCopy, FileCopyOptions } from "./file/rewrite-file";
import { rewriteFile } from "./file/rewrite-file";

/** Whether the host gives out its file and opens another; where not, sheets are converted in place. */
export const canCopy = (): boolean => {
  const { requirements } = Office.context;
  return (
    requirements.isSetSupported("CompressedFile", "1.1") && requirements.isSetSupported("ExcelApi", "1.8")
  );
};

/** As large as a host hands out at a time. */
const sliceSize = 4 * 1024 * 1024;

const asked = <T>(ask: (done: (result: Office.AsyncResult<T>) => void) => void): Promise<T> =>
  new Promise((resolve, reject) => {
    ask(({ status, value, error }) => {
      if (status === Office.AsyncResultStatus.Succeeded) resolve(value);
      else reject(new WorkbookTrouble(asSentence(new Error(error.message))));
    });
  });

async function fileBytes(progress: Progress): Promise<Uint8Array> {
  const file = await asked<Office.File>((done) => {
    Office.context.document.getFileAsync(Office.FileType.Compressed, { sliceSize }, done);
  });
  try {
    const bytes = new Uint8Array(file.size);
    let filled = 0;
    for (let i = 0; i < file.sliceCount; i++) {
      pass(progress, i, file.sliceCount, "Reading the file");
      const slice = await asked<Office.Slice>((done) => {
        file.getSliceAsync(i, done);
      });
      const data = slice.data as number[];
      bytes.set(data, filled);
      filled += data.length;
    }
    return bytes;
  } finally {
    file.closeAsync();
  }
}

const bytesPerPiece = 0x8000;

function asBase64(bytes: Uint8Array): string {
  let text = "";
  for (let i = 0; i < bytes.length; i += bytesPerPiece) {
    text += String.fromCharCode(...bytes.subarray(i, i + bytesPerPiece));
  }
  return btoa(text);
}

/** Opens a handed-over copy of the workbook; the workbook itself is not touched. */
export async function handOverCopy(options: FileCopyOptions, progress: Progress): Promise<FileCopy> {
  const copy = await rewriteFile(await fileBytes(progress), options, progress);
  await Excel.createWorkbook(asBase64(copy.bytes));
  return copy;
}

/** The workbook's own file, as the host gives it out, and another one that it opens. */
import { hostHas } from "./office";
import type { Progress } from "./progress";
import { pass } from "./progress";
import { WorkbookTrouble } from "./trouble";

/** Whether the host gives out its file at all; where not, sheets can be converted in place only. */
export const givesFile = (): boolean => hostHas("CompressedFile", "1.1");

const notRead = "Excel did not hand out the workbook's file: save the workbook, then try again.";

/** As large as a host hands out at a time. */
const sliceSize = 4 * 1024 * 1024;

const asked = <T>(ask: (done: (result: Office.AsyncResult<T>) => void) => void): Promise<T> =>
  new Promise((resolve, reject) => {
    ask(({ status, value, error }) => {
      if (status === Office.AsyncResultStatus.Succeeded) resolve(value);
      else reject(new WorkbookTrouble(notRead, { cause: error }));
    });
  });

const notGiven =
  "Excel does not give this workbook's file to the pane here: save it, open it in Excel for Windows, Mac or the web, then hand over.";

export async function fileBytes(progress: Progress): Promise<Uint8Array> {
  if (!givesFile()) throw new WorkbookTrouble(notGiven);
  pass(progress, 0, 1, "Reading the file");
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

/** Opens a file beside this workbook; the file as text of base 64. */
export const openFile = (base64: string): Promise<void> => Excel.createWorkbook(base64);

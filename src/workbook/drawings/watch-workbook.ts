/** Tells when something of the workbook was changed, so that a drawing can follow. */
import { inWorkbook } from "../session";

/** Calls the listener at each change of a cell and when sheets come or go. */
export const watchWorkbook = (listener: () => void): Promise<void> =>
  inWorkbook(async (context) => {
    const { worksheets } = context.workbook;
    const tell = () => {
      listener();
      return Promise.resolve();
    };
    worksheets.onChanged.add(tell);
    worksheets.onAdded.add(tell);
    worksheets.onDeleted.add(tell);
    await context.sync();
  });

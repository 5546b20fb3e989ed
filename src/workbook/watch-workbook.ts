/** Hears of edits and of sheets that come, go or are renamed. */
import type { Block } from "./reference";
import { blockOf } from "./reference";
import { localAddress } from "./selection";
import { inWorkbook } from "./session";
import { sheetsApart } from "./sheets";

/** Cells of a sheet that were edited, as a host tells of them. */
export interface Edited extends Block {
  readonly sheet: string;
}

/** Cells were edited, or something that only reading the whole workbook tells. */
export type Heard = { readonly edited: Edited } | "everything";

/** Calls the listener at each change; answers with how to stop. */
export const watchWorkbook = (listener: (heard: Heard) => void): Promise<() => Promise<void>> =>
  inWorkbook(async (context) => {
    const { worksheets } = context.workbook;
    const { own, theirs } = await sheetsApart(context);
    const names = new Map(theirs.map(({ id, name }) => [id, name]));
    const ours = new Set(own.map(({ id }) => id));
    const everything = () => {
      listener("everything");
      return Promise.resolve();
    };
    const changed = worksheets.onChanged.add((event) => {
      if (ours.has(event.worksheetId)) return Promise.resolve();
      const sheet = names.get(event.worksheetId);
      const block = blockOf(localAddress(event.address));
      // Rows that were put in or taken out move what stands below them.
      if (sheet === undefined || block === undefined || String(event.changeType) !== "RangeEdited")
        return everything();
      listener({ edited: { sheet, ...block } });
      return Promise.resolve();
    });
    const others: { remove(): void }[] = [
      worksheets.onAdded.add(everything),
      worksheets.onDeleted.add(everything),
    ];
    // Where a host does not tell of new names and places, the next edit finds them.
    if (Office.context.requirements.isSetSupported("ExcelApi", "1.17"))
      others.push(worksheets.onNameChanged.add(everything), worksheets.onMoved.add(everything));
    await context.sync();
    return async () => {
      await Excel.run(changed.context, async (registered) => {
        changed.remove();
        for (const other of others) other.remove();
        await registered.sync();
      });
    };
  });

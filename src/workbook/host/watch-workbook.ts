/** Hears of edits, of calculations, and of sheets that come, go or are renamed. */
import type { Block } from "./reference";
import { blockOf } from "./reference";
import { localAddress } from "./selection";
import { inWorkbook } from "./session";
import { sheetsApart } from "./sheets";

/** Cells of a sheet that were edited, as a host tells of them. */
export interface Edited extends Block {
  readonly sheet: string;
}

/** Cells were edited, a sheet was calculated, or something happened that only reading the whole workbook tells. */
export type Heard = { readonly edited: Edited } | "calculated" | "everything";

/** So often it is looked whether sheets were renamed or moved, where the host does not tell, in milliseconds. */
const betweenLooks = 3_000;

/** Names and places of all sheets, as one text. */
const sheetsInOrder = (): Promise<string> =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/id,items/name");
    await context.sync();
    return JSON.stringify(worksheets.items.map(({ id, name }) => [id, name]));
  });

/** Looks again and again whether sheets were renamed or moved; answers with how to stop. */
function lookForNames(known: string, changed: () => void, pause: number): () => void {
  let isWatching = true;
  const look = async (): Promise<void> => {
    // While a cell is edited nothing is answered: the next look tells.
    const now = await sheetsInOrder().catch(() => known);
    if (!isWatching) return;
    if (now === known) setTimeout(() => void look(), pause);
    else changed();
  };
  setTimeout(() => void look(), pause);
  return () => (isWatching = false);
}

/** Calls the listener at each change; answers with how to stop. */
export const watchWorkbook = (
  listener: (heard: Heard) => void,
  pause = betweenLooks,
): Promise<() => Promise<void>> =>
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
      worksheets.onCalculated.add(() => {
        listener("calculated");
        return Promise.resolve();
      }),
      worksheets.onAdded.add(everything),
      worksheets.onDeleted.add(everything),
    ];
    const isTold = Office.context.requirements.isSetSupported("ExcelApi", "1.17");
    if (isTold) others.push(worksheets.onNameChanged.add(everything), worksheets.onMoved.add(everything));
    await context.sync();
    const stopLooking = isTold
      ? () => undefined
      : lookForNames(await sheetsInOrder(), () => void everything(), pause);
    return async () => {
      stopLooking();
      await Excel.run(changed.context, async (registered) => {
        changed.remove();
        for (const other of others) other.remove();
        await registered.sync();
      });
    };
  });

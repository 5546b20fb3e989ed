/** Reads back what was written, and puts right what did not come out as it was meant. */
import type { Progress } from "../progress";
import { inSlices, slices } from "../progress";
import type { SheetCells } from "../sheets";
import { readCalculatedSheets } from "../sheets";
import type { ChangeSet } from "./change-set";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { CellNote, Conversion } from "./plan";
import type { Group } from "./proof";
import { proving } from "./proof";

/** A formula that has its function again, with every cell that it fills. */
export interface PutBack {
  readonly cells: readonly CellPlace[];
  readonly told: CellNote;
}

/** A cell that was put back may show in others; so often they are looked at again. */
const rounds = 3;

const back = ({ original, native, ...place }: Conversion) => ({ ...place, before: native, after: original });

const text = "@";

/** A formula is alive in a cell that becomes a text cell only afterwards. */
async function enliven(context: Excel.RequestContext, cells: readonly Conversion[]): Promise<void> {
  for (const { sheet, row, column, native } of cells) {
    const cell = context.workbook.worksheets.getItem(sheet).getRangeByIndexes(row, column, 1, 1);
    cell.numberFormat = [["General"]];
    cell.formulas = [[native]];
    cell.numberFormat = [[text]];
  }
  await context.sync();
}

/** Every converted cell is worked out before it is called converted; answers with those that have their function again. */
export async function putRight(
  context: Excel.RequestContext,
  change: ChangeSet,
  conversions: readonly Conversion[],
  before: readonly SheetCells[],
  progress: Progress,
): Promise<readonly PutBack[]> {
  const putBack: PutBack[] = [];
  const taken = new Set<string>();
  for (let round = 0; round < rounds; round++) {
    const after = await readCalculatedSheets(context, progress);
    const standing = conversions.filter((one) => !taken.has(placeKey(one)));
    const pause = slices(progress, "Comparing with what was there");
    const { dead, wrong, strayed } = await inSlices(proving(standing, before, after), pause);
    if (dead.length + wrong.length + strayed.length === 0) break;
    await enliven(context, dead);
    for (const [cells, told] of wrong) {
      putBack.push({ cells, told });
      for (const cell of cells) taken.add(placeKey(cell));
    }
    const what = "Putting right what came out otherwise";
    const wrongCells: readonly Conversion[] = wrong.flatMap(([cells]: readonly [Group, CellNote]) => cells);
    await change.write([...wrongCells.map(back), ...strayed], progress, what);
  }
  return putBack;
}

/** Reads back what was written, and puts right what did not come out as it was meant. */
import type { Progress } from "../progress";
import { inSlices, slices } from "../progress";
import type { SheetCells } from "../sheets";
import { readCalculatedSheets, readSheets } from "../sheets";
import { enliven, writeCarefully } from "./careful-write";
import type { ChangeSet } from "./change-set";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { CellNote, Conversion } from "./plan";
import type { Group } from "./proof";
import { proving, standing } from "./proof";

/** A formula that has its function again, with every cell that it fills. */
export interface PutBack {
  readonly cells: readonly CellPlace[];
  readonly told: CellNote;
}

/** A cell that was put back may show in others; so often they are looked at again. */
const rounds = 3;

const back = ({ original, native, ...place }: Conversion) => ({ ...place, before: native, after: original });

const puttingRight = "Putting right what came out otherwise";

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
    const left = conversions.filter((one) => !taken.has(placeKey(one)));
    const pause = slices(progress, "Comparing with what was there");
    const { dead, wrong, strayed } = await inSlices(proving(left, before, after), pause);
    if (dead.length + wrong.length + strayed.length === 0) break;
    await enlivenAll(context, dead);
    for (const [cells, told] of wrong) {
      putBack.push({ cells, told });
      for (const cell of cells) taken.add(placeKey(cell));
    }
    const wrongCells: readonly Conversion[] = wrong.flatMap(([cells]: readonly [Group, CellNote]) => cells);
    await writeCarefully(context, change, [...wrongCells.map(back), ...strayed], progress, puttingRight);
  }
  return putBack;
}

const enlivenAll = (context: Excel.RequestContext, cells: readonly Conversion[]): Promise<void> =>
  enliven(
    context,
    cells.map((one) => ({ ...one, content: one.native })),
  );

/** Looks whether functions that were put back are alive, and whether nothing else became another formula. */
export async function lookAfter(
  context: Excel.RequestContext,
  change: ChangeSet,
  restored: readonly Conversion[],
  before: readonly SheetCells[],
  progress: Progress,
): Promise<void> {
  if (restored.length === 0) return;
  const written = new Set(restored.map(({ sheet }) => sheet));
  const then = before.filter(({ name }) => written.has(name));
  for (let round = 0; round < rounds; round++) {
    const after = await readSheets(context, progress);
    const pause = slices(progress, "Comparing with what was there");
    const { dead, strayed } = await inSlices(standing(restored, then, after), pause);
    if (dead.length + strayed.length === 0) return;
    await enlivenAll(context, dead);
    await writeCarefully(context, change, strayed, progress, puttingRight);
  }
}

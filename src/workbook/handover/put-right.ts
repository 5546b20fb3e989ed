/** Reads back what was written, and puts right what did not come out as it was meant. */
import type { CellNote, Pieces, Progress, RequestContext, SheetCells } from "../host";
import { inSlices, readCalculatedSheets, readSheets, slices } from "../host";
import type { CellChange } from "../writing";
import { isSpeltAlike } from "../writing";
import type { ChangeSet } from "./change-set";
import { asPlanned } from "./change-set";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { Conversion } from "./plan";
import type { Group } from "./proof";
import { Contents, proving, standing } from "./proof";

/** A formula that has its function again, with every cell that it fills. */
export interface PutBack {
  readonly cells: readonly CellPlace[];
  readonly told: CellNote;
}

/** A cell that was put back may show in others; so often they are looked at again. */
const rounds = 3;

const back = ({ original, native, ...place }: Conversion): CellChange => ({
  ...place,
  before: asPlanned(native),
  after: asPlanned(original),
});

/** A formula that is dead, to be written once more. */
const again = ({ native, sheet, row, column }: Conversion): CellChange => ({
  ...{ sheet, row, column },
  before: String(native),
  after: asPlanned(native),
});

const puttingRight = "Putting right what came out otherwise";
const comparing = "Comparing with what was there";

/** What stands where it was written, and sheets on which something has moved away. */
interface Standing {
  readonly conversions: readonly Conversion[];
  readonly moved: ReadonlySet<string>;
}

/** Cells that are looked at between two pauses. */
const cellsAtATime = 200;

function* stillStanding(conversions: readonly Conversion[], after: readonly SheetCells[]): Pieces<Standing> {
  const now = new Contents(after);
  const [there, moved] = [[] as Conversion[], new Set<string>()];
  for (const [i, one] of conversions.entries()) {
    if (i % cellsAtATime === 0) yield i / conversions.length;
    if (isSpeltAlike(String(one.native), now.at(one).formula)) there.push(one);
    else moved.add(one.sheet);
  }
  return { conversions: there, moved };
}

/** Every converted cell is worked out before it is called converted; answers with those that have their function again. */
export async function putRight(
  context: RequestContext,
  change: ChangeSet,
  conversions: readonly Conversion[],
  before: readonly SheetCells[],
  /** Sheets that somebody has written to meanwhile. */
  disturbed: ReadonlySet<string>,
  progress: Progress,
): Promise<readonly PutBack[]> {
  const putBack: PutBack[] = [];
  const taken = new Set<string>();
  for (let round = 0; round < rounds; round++) {
    const after = await readCalculatedSheets(context, progress);
    const pause = slices(progress, comparing);
    const left = conversions.filter((one) => !taken.has(placeKey(one)));
    const there = await inSlices(stillStanding(left, after), pause);
    const { dead, wrong, strayed: all } = await inSlices(proving(there.conversions, before, after), pause);
    // Where somebody has moved cells meanwhile, nothing tells what strayed.
    const strayed = all.filter(({ sheet }) => !there.moved.has(sheet) && !disturbed.has(sheet));
    if (dead.length + wrong.length + strayed.length === 0) break;
    const wrongCells: readonly Conversion[] = wrong.flatMap(([cells]: readonly [Group, CellNote]) => cells);
    const changes = [...dead.map(again), ...wrongCells.map(back), ...strayed];
    const { places } = await change.write(changes, progress, puttingRight);
    for (const [cells, told] of wrong) {
      for (const cell of cells) taken.add(placeKey(cell));
      if (!cells.some((cell) => places.has(placeKey(cell)))) putBack.push({ cells, told });
    }
  }
  return putBack;
}

/** Looks whether functions that were put back are alive, and whether nothing else became another formula. */
export async function lookAfter(
  context: RequestContext,
  change: ChangeSet,
  restored: readonly Conversion[],
  before: readonly SheetCells[],
  /** Sheets that somebody has written to meanwhile. */
  disturbed: ReadonlySet<string>,
  progress: Progress,
): Promise<void> {
  if (restored.length === 0) return;
  const written = new Set(restored.map(({ sheet }) => sheet));
  const then = before.filter(({ name }) => written.has(name));
  for (let round = 0; round < rounds; round++) {
    const after = await readSheets(context, progress);
    const pause = slices(progress, comparing);
    const there = await inSlices(stillStanding(restored, after), pause);
    const { dead, strayed: all } = await inSlices(standing(there.conversions, then, after), pause);
    const strayed = all.filter(({ sheet }) => !there.moved.has(sheet) && !disturbed.has(sheet));
    if (dead.length + strayed.length === 0) return;
    await change.write([...dead.map(again), ...strayed], progress, puttingRight);
  }
}

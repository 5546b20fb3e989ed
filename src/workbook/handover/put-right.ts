/** Reads back what was written, and puts right what did not come out as it was meant. */
import type { Progress } from "../progress";
import { inSlices, slices } from "../progress";
import type { SheetCells } from "../sheets";
import { readCalculatedSheets } from "../sheets";
import { asContent, enliven, isSpeltAlike } from "../write-cells";
import type { ChangeSet } from "./change-set";
import type { CellPlace } from "./place";
import { placeKey } from "./place";
import type { CellNote, Conversion } from "./plan";
import type { Group } from "./proof";
import { Contents, proving } from "./proof";

/** A formula that has its function again, with every cell that it fills. */
export interface PutBack {
  readonly cells: readonly CellPlace[];
  readonly told: CellNote;
}

/** A cell that was put back may show in others; so often they are looked at again. */
const rounds = 3;

const back = ({ original, native, ...place }: Conversion) => ({ ...place, before: native, after: original });

/** Every converted cell is worked out before it is called converted; answers with those that have their function again. */
export async function putRight(
  context: Excel.RequestContext,
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
    const now = new Contents(after);
    const isStanding = (one: Conversion): boolean => isSpeltAlike(String(one.native), now.at(one).formula);
    const standing = conversions.filter((one) => !taken.has(placeKey(one)) && isStanding(one));
    const pause = slices(progress, "Comparing with what was there");
    const { dead, wrong, strayed: all } = await inSlices(proving(standing, before, after), pause);
    // Where somebody has moved cells meanwhile, nothing tells what strayed.
    const moved = new Set(
      conversions.filter((one) => !taken.has(placeKey(one)) && !isStanding(one)).map(({ sheet }) => sheet),
    );
    const strayed = all.filter(({ sheet }) => !moved.has(sheet) && !disturbed.has(sheet));
    if (dead.length + wrong.length + strayed.length === 0) break;
    await enliven(
      context,
      dead.map((one) => ({ ...one, sheet: change.idOf(one.sheet), after: asContent(one.native, undefined) })),
    );
    const what = "Putting right what came out otherwise";
    const wrongCells: readonly Conversion[] = wrong.flatMap(([cells]: readonly [Group, CellNote]) => cells);
    const left = await change.write([...wrongCells.map(back), ...strayed], progress, what);
    for (const [cells, told] of wrong) {
      for (const cell of cells) taken.add(placeKey(cell));
      if (!cells.some((cell) => left.has(placeKey(cell)))) putBack.push({ cells, told });
    }
  }
  return putBack;
}

/** What a hand-over and a return have in common: they are planned anew where somebody edits the sheets meanwhile. */
import type { CellContent, Content, Place, RequestContext } from "../host";
import { isFormula, qualified } from "../host";
import { sheetsThere } from "../work";
import type { ChangeSet } from "./change-set";

/** So often it is planned anew. */
export const rounds = 3;

/** The ids of sheets by their names, and what sheets of such ids are called now. */
export async function idsOf(context: RequestContext, names: readonly string[]): Promise<readonly string[]> {
  const there = await sheetsThere(context);
  return [...there].flatMap(([id, { name }]) => (names.includes(name) ? [id] : []));
}

export async function namesOf(context: RequestContext, ids: readonly string[]): Promise<readonly string[]> {
  const there = await sheetsThere(context);
  return ids.flatMap((id) => there.get(id)?.name ?? []);
}

/** Where something is, its sheet told by its id. */
export const placeIn = (change: ChangeSet, { sheet, address }: Place): Place => ({
  sheet: change.idOf(sheet),
  address,
});

/** What a cell was read to hold, a figure as a figure. */
export const heldIn = (cell: CellContent): Content =>
  isFormula(cell) ? { formula: cell.formula } : (cell.value ?? "");

export function exceptThose<Note extends Place>(notes: readonly Note[], those: readonly Place[]): Note[] {
  const taken = new Set(those.map(qualified));
  return taken.size === 0 ? [...notes] : notes.filter((note) => !taken.has(qualified(note)));
}

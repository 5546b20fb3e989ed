/** Bringing back what an earlier edition handed over, and doing away with what it kept once nothing needs it. */
import { ourLimits } from "../../writing";
import type { CellNote, Place, RequestContext, SheetCells } from "../../host";
import type { EditedCell, HandedCell } from "../sort-out";
import { earlierLimitTitle, readEarlierEdition } from "./originals";
import type { Trust } from "../trusted";
import { sortEarlier } from "./sort-earlier";

export interface EarlierReturn {
  readonly restored: readonly HandedCell[];
  readonly stays: readonly EditedCell[];
  readonly foreign: readonly CellNote[];
  /** Cells whose limit is to be taken off. */
  readonly released: readonly Place[];
  /** Sheets that are not needed any more. */
  readonly done: readonly string[];
  readonly notes: readonly string[];
}

const nothing: EarlierReturn = { restored: [], stays: [], foreign: [], released: [], done: [], notes: [] };

export async function earlierReturn(
  context: RequestContext,
  sheets: readonly SheetCells[],
  names: readonly string[],
  trust: Trust,
  editedToo: boolean,
): Promise<EarlierReturn> {
  const earlier = await readEarlierEdition(context);
  if (earlier === undefined) return nothing;
  if (earlier.trouble !== undefined) return { ...nothing, notes: [earlier.trouble] };
  const { unchanged, edited, foreign } = sortEarlier(earlier.formulas, sheets, trust);
  const isChosen = ({ sheet }: { readonly sheet: string }): boolean => names.includes(sheet);
  const back = editedToo ? [...unchanged, ...edited] : unchanged;
  const stays = editedToo ? [] : edited;
  const left = [...back.filter((one) => !isChosen(one)), ...stays];
  const needed = new Set(left.map(({ sheet }) => sheet));
  const there = new Set(sheets.map(({ name }) => name));
  const released = earlier.limits.filter(
    ({ sheet, forSheets }) => there.has(sheet) && !forSheets.some((home) => needed.has(home)),
  );
  return {
    restored: back.filter(isChosen),
    stays: stays.filter(isChosen),
    foreign: foreign.filter(isChosen),
    released: await ourLimits(context, released, earlierLimitTitle),
    done: left.length === 0 ? [earlier.sheetName] : [],
    notes: [],
  };
}

/** What others changed between a hand-over and its return, cell by cell. */
import { cellAddress } from "../reference";
import type { SheetCells } from "../sheets";
import { filledCells } from "../sheets";
import { sameContent } from "./moves";
import type { Kept, KeptOriginals, KeptPlace } from "./originals";
import { keptNow } from "./originals";

export type ChangeKind =
  "input" | "formula" | "formula overwritten" | "emptied" | "added" | "row or sheet deleted";

export interface CellEdit {
  readonly sheet: string;
  readonly address: string;
  readonly kind: ChangeKind;
  readonly old: string;
  readonly now: string;
}

export const placeKey = ({ sheet, row, column }: KeptPlace): string => `${sheet}!${row},${column}`;

/** What every filled cell holds, by place. */
export const contentsOf = (sheets: readonly SheetCells[]): ReadonlyMap<string, string> =>
  new Map(
    sheets.flatMap((sheet) =>
      filledCells(sheet).map(
        ({ row, column, formula }) => [placeKey({ sheet: sheet.name, row, column }), formula] as const,
      ),
    ),
  );

function kindOf(old: string, now: string): ChangeKind {
  if (now === "") return "emptied";
  if (!old.startsWith("=")) return "input";
  return now.startsWith("=") ? "formula" : "formula overwritten";
}

/** Every cell that differs from what it held just after the hand-over. */
export function changesSince(kept: KeptOriginals, sheets: readonly SheetCells[]): readonly CellEdit[] {
  const now = contentsOf(sheets);
  const { snapshot } = keptNow(kept);
  const known = new Set(snapshot.map(placeKey));
  const edited = snapshot.flatMap((cell): CellEdit[] => {
    const content = now.get(placeKey(cell)) ?? "";
    if (sameContent(cell.content, content)) return [];
    const { sheet, row, column, content: old } = cell;
    return [{ sheet, address: cellAddress(row, column), kind: kindOf(old, content), old, now: content }];
  });
  return [...edited, ...deleted(kept), ...added(kept, sheets, known)];
}

const deleted = ({ snapshot, moves }: KeptOriginals): readonly CellEdit[] =>
  snapshot
    .filter(({ sheet, row, column }) => moves.cell(sheet, row, column) === undefined)
    .map(({ sheet, row, column, content }) => ({
      sheet,
      address: cellAddress(row, column),
      kind: "row or sheet deleted",
      old: content,
      now: "",
    }));

/** Cells that were empty, on sheets that were there. */
function added(
  kept: KeptOriginals,
  sheets: readonly SheetCells[],
  known: ReadonlySet<string>,
): readonly CellEdit[] {
  const there = new Set(kept.snapshot.map(({ sheet }) => kept.moves.sheet(sheet)));
  return sheets
    .filter(({ name }) => there.has(name))
    .flatMap((sheet) =>
      filledCells(sheet)
        .filter(({ row, column }) => !known.has(placeKey({ sheet: sheet.name, row, column })))
        .map(({ address, formula }) => ({
          sheet: sheet.name,
          address,
          kind: "added" as const,
          old: "",
          now: formula,
        })),
    );
}

/** The formulas that are still as they were handed over, with where they are now, and those that are not. */
export function sortedOut(
  kept: KeptOriginals,
  sheets: readonly SheetCells[],
): { readonly unchanged: Kept["formulas"]; readonly edited: Kept["formulas"] } {
  const now = contentsOf(sheets);
  const { formulas } = keptNow(kept);
  const holds = (place: KeptPlace): string => now.get(placeKey(place)) ?? "";
  const unchanged = formulas.filter((one) => sameContent(String(one.native), holds(one)));
  const untouched = new Set(unchanged);
  const edited = formulas.filter((one) => !untouched.has(one) && !sameContent(one.original, holds(one)));
  return { unchanged, edited };
}

/** The snapshot of the sheets that matter: all that are not our own. */
export const snapshotOf = (sheets: readonly SheetCells[]): Kept["snapshot"] =>
  sheets.flatMap((sheet) =>
    filledCells(sheet).map(({ row, column, formula }) => ({
      sheet: sheet.name,
      row,
      column,
      content: formula,
    })),
  );

/**
 * Findings that the estimator has set aside, each with a reason. Kept on a very hidden sheet, since cells survive every
 * program that can open the file; a plain reference to the cell follows it when rows are put in above.
 */
import { withNewSheets } from "../new-sheets";
import { placeOf, qualified } from "../reference";
import { inWorkbook } from "../session";
import { freeSheetName } from "../handover/free-name";
import { originalsSheetName, ownMarks, sheetsApart } from "../sheets";
import { WorkbookTrouble } from "../trouble";
import { asWork } from "../work/as-work";
import type { Mark } from "../work/mark";
import type { Content } from "../write-cells";
import { asFormula, writeAndLook, writeCells } from "../write-cells";
import type { Finding } from "./check";

export interface SetAside {
  /** The check's id. */
  readonly check: string;
  readonly sheet: string;
  readonly address: string;
  readonly reason: string;
  /** The day it was set aside, as a sheet counts days. */
  readonly on: number;
}

type Place = Pick<SetAside, "check" | "sheet" | "address">;

/** It begins as the other sheets of ours that nobody reads as the estimator's own. */
const sheetName = `${originalsSheetName}, set aside`;
/** The marks of what we keep: no reason is read as a formula, and a copy for others is rid of them. */
const opens = "kept:";
const closes = ":kept";

export const placeOfFinding = ({ check, sheet, address }: Finding): Place => ({
  check: check.id,
  sheet,
  address,
});

const isSame = (a: Place, b: Place): boolean =>
  a.check === b.check && a.sheet === b.sheet && a.address === b.address;

/** Why a finding is set aside, if it is. */
export const asideOf = (finding: Finding, all: readonly SetAside[]): SetAside | undefined =>
  all.find((one) => isSame(one, placeOfFinding(finding)));

function fromRow(row: readonly unknown[]): SetAside[] {
  const [check = "", reason = "", on = "", reference = ""] = row.map((cell) =>
    String(cell as string | number),
  );
  const place = placeOf(reference.replace(/^=/, ""), "");
  if (place === undefined || place.sheet === "") return [];
  return [{ ...place, check, reason: reason.slice(opens.length, -closes.length), on: Number(on) }];
}

interface Kept {
  readonly sheet: Excel.Worksheet | undefined;
  /** Rows that are in use on it. */
  readonly height: number;
  readonly all: readonly SetAside[];
}

async function find(context: Excel.RequestContext): Promise<Kept> {
  const { own } = await sheetsApart(context);
  const heads = own.map((sheet) => sheet.getRange("A1"));
  for (const head of heads) head.load("values");
  await context.sync();
  const sheet = own.find((_, i) => heads[i]?.values[0]?.[0] === ownMarks.setAside);
  if (sheet === undefined) return { sheet, height: 0, all: [] };
  const used = sheet.getRange("A1:D1").getBoundingRect(sheet.getUsedRange(true));
  used.load("formulas");
  await context.sync();
  const rows = used.formulas as unknown[][];
  return { sheet, height: rows.length, all: rows.slice(1).flatMap(fromRow) };
}

const headRow: readonly Content[] = [ownMarks.setAside, "", "", ""];

const rowFor = ({ check, reason, on, ...place }: SetAside): readonly Content[] => [
  check,
  opens + reason + closes,
  on,
  asFormula(qualified({ ...place, address: fixed(place.address) })),
];

/** Writes what is kept over what was kept before, on a sheet of ours that is added for the first of them. */
async function keep(
  context: Excel.RequestContext,
  mark: Mark,
  { sheet, height }: Kept,
  all: readonly SetAside[],
): Promise<void> {
  if (all.length === 0) return sheet === undefined ? undefined : remove(context, mark, sheet);
  const rows = [headRow, ...all.map(rowFor)];
  if (sheet !== undefined) {
    const empty = Array.from({ length: Math.max(0, height - rows.length) }, () => headRow.map(() => ""));
    return writeAndLook(context, mark, [{ sheet, top: 0, left: 0, rows: [...rows, ...empty] }]);
  }
  await withNewSheets(context, mark, {
    namesFor: (taken) => [freeSheetName(sheetName, taken)],
    fill: async ([added]) => {
      if (added === undefined) return;
      added.visibility = "VeryHidden";
      await writeCells(context, [{ sheet: added, top: 0, left: 0, rows }]);
    },
  });
}

async function remove(context: Excel.RequestContext, mark: Mark, sheet: Excel.Worksheet): Promise<void> {
  sheet.load("id");
  await context.sync();
  await mark.step({ kind: "hidden sheet", sheet: sheet.id });
  // A very hidden sheet refuses to be deleted.
  sheet.visibility = "Visible";
  sheet.delete();
  await context.sync();
}

const fixed = (address: string): string => address.replace(/^([A-Z]+)(\d+)$/, "$$$1$$$2");

export const readSetAside = (): Promise<readonly SetAside[]> =>
  inWorkbook(async (context) => (await find(context)).all);

/** Sets a finding aside; without a reason it is refused. */
export const setAside = (finding: Finding, reason: string, on: number): Promise<readonly SetAside[]> =>
  asWork({ work: "set-aside" }, async (context, mark) => {
    const because = reason.trim();
    if (because === "") {
      throw new WorkbookTrouble("Say in a few words why this is right as it stands, then set it aside.");
    }
    const kept = await find(context);
    const place = placeOfFinding(finding);
    const all = [...kept.all.filter((one) => !isSame(one, place)), { ...place, reason: because, on }];
    await keep(context, mark, kept, all);
    return all;
  });

/** Takes up again what was set aside. */
export const takeUp = (place: Place): Promise<readonly SetAside[]> =>
  asWork({ work: "set-aside" }, async (context, mark) => {
    const kept = await find(context);
    const all = kept.all.filter((one) => !isSame(one, place));
    await keep(context, mark, kept, all);
    return all;
  });

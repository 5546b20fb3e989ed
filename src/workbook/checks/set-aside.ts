/**
 * Findings that the estimator has set aside, each with a reason. Kept on a very hidden sheet, since cells survive every
 * program that can open the file; a plain reference to the cell follows it when rows are put in above.
 */
import { placeOf, qualified } from "../reference";
import { inWorkbook } from "../session";
import { freeSheetName } from "../handover/free-name";
import { originalsSheetName, ownMarks, sheetsApart } from "../sheets";
import { WorkbookTrouble } from "../trouble";
import { asFormula, writeCells } from "../write-cells";
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
  readonly all: readonly SetAside[];
  /** What a sheet that is yet to be added can be called. */
  readonly free: string;
}

async function find(context: Excel.RequestContext): Promise<Kept> {
  const { own, theirs } = await sheetsApart(context);
  const heads = own.map((sheet) => sheet.getRange("A1"));
  for (const head of heads) head.load("values");
  await context.sync();
  const sheet = own.find((_, i) => heads[i]?.values[0]?.[0] === ownMarks.setAside);
  const free = freeSheetName(
    sheetName,
    theirs.concat(own).map(({ name }) => name),
  );
  if (sheet === undefined) return { sheet, all: [], free };
  const used = sheet.getRange("A1:D1").getBoundingRect(sheet.getUsedRange(true));
  used.load("formulas");
  await context.sync();
  return { sheet, all: (used.formulas as unknown[][]).slice(1).flatMap(fromRow), free };
}

async function keep(
  context: Excel.RequestContext,
  { sheet, free }: Kept,
  all: readonly SetAside[],
): Promise<void> {
  if (all.length === 0) {
    if (sheet !== undefined) {
      // A very hidden sheet refuses to be deleted.
      sheet.visibility = "Visible";
      sheet.delete();
    }
    await context.sync();
    return;
  }
  const target = sheet ?? context.workbook.worksheets.add(free);
  sheet?.getRange().clear("Contents");
  const rows = all.map(({ check, reason, on, ...place }) => [
    check,
    opens + reason + closes,
    on,
    asFormula(qualified({ ...place, address: fixed(place.address) })),
  ]);
  target.visibility = "VeryHidden";
  await writeCells(context, [
    { sheet: target, top: 0, left: 0, rows: [[ownMarks.setAside, "", "", ""], ...rows] },
  ]);
}

const fixed = (address: string): string => address.replace(/^([A-Z]+)(\d+)$/, "$$$1$$$2");

export const readSetAside = (): Promise<readonly SetAside[]> =>
  inWorkbook(async (context) => (await find(context)).all);

/** Sets a finding aside; without a reason it is refused. */
export const setAside = (finding: Finding, reason: string, on: number): Promise<readonly SetAside[]> =>
  inWorkbook(async (context) => {
    const because = reason.trim();
    if (because === "") {
      throw new WorkbookTrouble("Say in a few words why this is right as it stands, then set it aside.");
    }
    const kept = await find(context);
    const place = placeOfFinding(finding);
    const all = [...kept.all.filter((one) => !isSame(one, place)), { ...place, reason: because, on }];
    await keep(context, kept, all);
    return all;
  });

/** Takes up again what was set aside. */
export const takeUp = (place: Place): Promise<readonly SetAside[]> =>
  inWorkbook(async (context) => {
    const kept = await find(context);
    const all = kept.all.filter((one) => !isSame(one, place));
    await keep(context, kept, all);
    return all;
  });

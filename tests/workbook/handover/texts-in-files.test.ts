/** Texts of a file that a file cannot hold as they are, and texts that read like errors, through every way that makes a file. */
import { describe, expect, test } from "vitest";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { escapeText, textMeant } from "../../../src/workbook/handover/file/xml";
import { fileForReader } from "../../../src/workbook/handover/reader/one-reader";
import { unwatched } from "../../support/built-workbench";
import { textsOf, withEdited } from "../../support/file-parts";
import { plainWorkbook, recalculate } from "../../support/libreoffice";

/** As the file holds it, and what that means. */
const texts = [
  ["bell_x0007_", "bell\u0007"],
  ["_x0001_begins", "\u0001begins"],
  ["ends_x001F_", "ends\u001f"],
  ["return_x000D_in it", "return\rin it"],
  ["_x005F_x0041_", "_x0041_"],
  ["_x005F_x005F_x005F_x0041_", "_x005F_x0041_"],
  ["_x005F_x0007__x0007_", "_x0007_\u0007"],
  ["_X0041_", "_X0041_"],
  ["_x041", "_x041"],
  ["_x004G_", "_x004G_"],
  ["_xD83D__xDE00_", "😀"],
  ["plain", "plain"],
] as const;

/** What may stand in a file as it is the other program leaves a number, and a return with a line feed it makes one of. */
const needless = [
  ["both_x000D__x000A_in it", "both\r\nin it"],
  ["_x0041_", "A"],
  ["_x00e9_t_x00E9_", "été"],
  ["__x0042_", "_B"],
] as const;

const sheet = "xl/sheet1.xml";
/** Column A holds the texts, B formulas that show them, C calls. */
const cell = (address: string, inside: string) => (xml: string) =>
  xml.replace(new RegExp(`<c r="${address}"[^>]*?(?:/>|>.*?</c>)`, "s"), inside);

function book(): Uint8Array {
  const rows = texts.flatMap((_, i) => [
    { sheet: "Lawn", address: `A${i + 1}`, content: "text" },
    { sheet: "Lawn", address: `B${i + 1}`, content: `=A${i + 1}` },
    { sheet: "Lawn", address: `C${i + 1}`, content: `=SWARD.PACKS(${i + 1},2)` },
    { sheet: "Lawn", address: `D${i + 1}`, content: `=LEN(A${i + 1})` },
  ]);
  return withEdited(plainWorkbook(rows), {
    [sheet]: (xml) =>
      texts.reduce((now, [held], i) => {
        const at = i + 1;
        const typed = `<c r="A${at}" t="inlineStr"><is><t xml:space="preserve">${held}</t></is></c>`;
        const shown = `<c r="B${at}" t="str"><f>A${at}</f><v>${held}</v></c>`;
        const call = `<c r="C${at}"><f>SWARD.PACKS(${at},2)</f><v>${Math.ceil(at / 2)}</v></c>`;
        const length = `<c r="D${at}"><f>LEN(A${at})</f><v>${textMeant(held).length}</v></c>`;
        return [
          cell(`A${at}`, typed),
          cell(`B${at}`, shown),
          cell(`C${at}`, call),
          cell(`D${at}`, length),
        ].reduce((text, put) => put(text), now);
      }, xml),
  });
}

const meant = texts.map(([, text]) => text);

async function heldIn(bytes: Uint8Array) {
  const cells = (await recalculate(bytes)).get("Lawn") ?? [];
  return [0, 1].map((column) => texts.map((_, i) => cells[i]?.[column]));
}

test("another program reads the file so", async () => {
  expect(await heldIn(book())).toEqual([meant, meant]);
});

test.each([...texts, ...needless])("%s is written so that the same is read", (held, text) => {
  expect(textMeant(held)).toBe(text);
  expect(textMeant(escapeText(text))).toBe(text);
  expect(escapeText(text)).not.toMatch(/[\0-\x08\x0b-\x1f]/);
});

describe("a file whose texts are escaped", () => {
  test.each(["native formulas", "short native formulas", "values"] as const)("as %s", async (mode) => {
    const copy = await rewriteFile(book(), { mode, withList: true }, unwatched);
    expect([copy.stopped, copy.converted > 0]).toEqual([[], true]);
    expect(await heldIn(copy.bytes)).toEqual([meant, meant]);
  });

  test("keeps them on the list of what was typed", async () => {
    const copy = await rewriteFile(book(), { mode: "native formulas", withList: true }, unwatched);
    const list = (await recalculate(copy.bytes)).get(copy.list ?? "") ?? [];
    expect(list.flatMap((row) => (meant.includes(String(row[2]) as never) ? [row[2]] : []))).toEqual(meant);
  });

  test.each(["values", "formulas"] as const)("for one reader, in %s and with the working", async (holds) => {
    const options = { pages: [{ sheet: "Lawn" }], holds, drawings: [], withWorking: true };
    const { bytes } = await fileForReader(book(), options, unwatched);
    expect(await heldIn(bytes)).toEqual([meant, meant]);
  });
});

describe("a text that reads like an error", () => {
  const formula = '=IF(SWARD.PACKS(A1,2)>0,"#N/A","")';
  const asStored = formula.slice(1).replaceAll('"', "&quot;").replace(">", "&gt;");
  const withResult = (type: "str" | "e", text = "#N/A"): Uint8Array =>
    withEdited(
      plainWorkbook([
        { sheet: "Lawn", address: "A1", content: 7 },
        { sheet: "Lawn", address: "B1", content: formula },
        { sheet: "Lawn", address: "C1", content: "x" },
        { sheet: "Lawn", address: "D1", content: "=LEN(C1)+LEN(C2)" },
        { sheet: "Lawn", address: "C2", content: "x" },
      ]),
      {
        [sheet]: (xml) =>
          [
            cell("B1", `<c r="B1" t="${type}"><f>${asStored}</f><v>${text}</v></c>`),
            cell("C1", `<c r="C1" t="inlineStr"><is><t>#N/A</t></is></c>`),
            cell("D1", `<c r="D1"><f>LEN(C1)+LEN(C2)</f><v>4</v></c>`),
            cell("C2", `<c r="C2" t="e"><v>#N/A</v></c>`),
          ].reduce((now, put) => put(now), xml),
      },
    );

  test("is that text among values, where an error stops its sheet", async () => {
    const copy = await rewriteFile(withResult("str"), { mode: "values" }, unwatched);
    expect(copy.stopped).toEqual([]);
    expect((await recalculate(copy.bytes)).get("Lawn")?.[0]?.[1]).toBe("#N/A");
    expect(textsOf(copy.bytes)[sheet]).toMatch(/<c r="B1"[^>]*t="inlineStr"/);
    const wrong = await rewriteFile(withResult("e"), { mode: "values" }, unwatched);
    expect(wrong.stopped.map(({ address }) => address)).toEqual(["B1"]);
  });

  test.each(["#SPILL!", "#NAME?", "#BUSY!"])("%s has its answer", async (text) => {
    const copy = await rewriteFile(withResult("str", text), { mode: "values" }, unwatched);
    expect(copy.stopped).toEqual([]);
  });

  test("goes to a reader, where an error does not", async () => {
    const options = { pages: [{ sheet: "Lawn" }], holds: "values", drawings: [] } as const;
    const { bytes } = await fileForReader(withResult("str"), options, unwatched);
    const row = (await recalculate(bytes)).get("Lawn")?.[0];
    expect([row?.[1], row?.[2]]).toEqual(["#N/A", "#N/A"]);
    await expect(fileForReader(withResult("e"), options, unwatched)).rejects.toThrow("Lawn!B1 shows #N/A");
  });

  test("stands on the list as a text, and an error as one", async () => {
    const copy = await rewriteFile(withResult("str"), { mode: "native formulas", withList: true }, unwatched);
    const parts = textsOf(copy.bytes);
    const list = Object.values(parts).find((xml) => xml.includes("What the sheets held")) ?? "";
    const held = [...list.matchAll(/<c r="C\d+"([^>]*)>(?:(?!<\/c>).)*#N\/A(?:(?!<\/c>).)*<\/c>/g)];
    expect(held.map(([, type]) => /t="(\w+)"/.exec(type ?? "")?.[1])).toEqual(["inlineStr", "e"]);
  });
});

import { strFromU8, unzipSync } from "fflate";
import { beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { listLines, putOnSheet } from "../../../src/workbook/checks/list-sheet";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import type { SetAside } from "../../../src/workbook/checks/set-aside";
import { asideOf, readSetAside, setAside, takeUp } from "../../../src/workbook/checks/set-aside";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { putInOrTakeOut } from "../../support/rows-and-columns";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});
beforeEach(() => {
  bench.reset([{ name: "My lawn" }]);
  bench.setCells("My lawn", {
    ...{ A1: "Zone", B1: "Area, ft²", C1: "Seed, lb" },
    ...{ A2: "North", B2: "1000", C2: "=SWARD.SEED_WEIGHT(B2,7)" },
    ...{ A3: "South", C3: "=SWARD.SEED_WEIGHT(B3,7)" },
  });
});

const today = 46_251;
const findings = async () => (await WorkbookChecks.start(unwatched, today)).findings;

async function theFinding() {
  const [finding] = await findings();
  if (finding === undefined) throw new Error("nothing was found");
  return finding;
}

describe("setting a finding aside", () => {
  test.each(["Swardsheet originals, set aside", "Swardsheet originals"])(
    "leaves a sheet %s of the estimator's own alone, from the first to the last",
    async (name) => {
      bench.reset([{ name: "My lawn" }, { name }]);
      bench.setCells("My lawn", { A1: "Zone", B1: "Area, ft²", C1: "Seed, lb", A2: "North" });
      bench.setCells("My lawn", { C2: "=SWARD.SEED_WEIGHT(B2,7)" });
      bench.setCells(name, { A1: "mine", A2: "blank area", B2: "a reason of mine", D2: "='My lawn'!$B$2" });
      const finding = await theFinding();
      await setAside(finding, "measured next week", today);
      expect((await readSetAside()).map(({ reason }) => reason)).toEqual(["measured next week"]);
      expect(await takeUp({ ...finding, check: finding.check.id })).toEqual([]);
      expect(bench.sheetNames()).toEqual(["My lawn", name]);
      expect([bench.value(name, "A1"), bench.value(name, "B2")]).toEqual(["mine", "a reason of mine"]);
      const copy = await rewriteFile(
        await bench.exportXlsx(),
        { mode: "native formulas", withoutOurOwn: true },
        unwatched,
      );
      await bench.importXlsx(copy.bytes);
      expect(bench.value(name, "B2")).toBe("a reason of mine");
    },
  );

  test("needs a reason", async () => {
    await expect(setAside(await theFinding(), "  ", today)).rejects.toThrow(/in a few words/);
    expect(await readSetAside()).toEqual([]);
    expect(bench.sheetNames()).toEqual(["My lawn"]);
  });

  test("is kept in the file, even where the reason looks like a formula", async () => {
    await setAside(await theFinding(), "=measured next week", today);
    await bench.importXlsx(await bench.exportXlsx());
    const kept = await readSetAside();
    expect(kept).toEqual([
      { check: "blank area", sheet: "My lawn", address: "B3", reason: "=measured next week", on: today },
    ]);
    expect(asideOf(await theFinding(), kept)?.reason).toBe("=measured next week");
  });

  test("follows its cell when a row is put in above", async () => {
    await setAside(await theFinding(), "measured next week", today);
    putInOrTakeOut(bench, "My lawn", { dimension: "ROW", at: 1, count: 1, isIn: true });
    const moved = await theFinding();
    expect(moved.address).toBe("B4");
    expect(asideOf(moved, await readSetAside())?.reason).toBe("measured next week");
  });

  test("is taken up again, and leaves nothing behind", async () => {
    const finding = await theFinding();
    const [one] = await setAside(finding, "measured next week", today);
    await takeUp(one as SetAside);
    expect(await readSetAside()).toEqual([]);
    expect(bench.sheetNames()).toEqual(["My lawn"]);
  });

  test("of several one is taken up again and set aside once more, its row the same and its cell followed", async () => {
    bench.setCell("My lawn", "A4", "East");
    bench.setCell("My lawn", "C4", "=SWARD.SEED_WEIGHT(B4,7)");
    const [first, second] = await findings();
    if (first === undefined || second === undefined) throw new Error("nothing was found");
    await setAside(first, "measured next week", today);
    const [, other] = await setAside(second, "shown on the plan", today);
    await takeUp({ ...first, check: first.check.id });
    expect(await readSetAside()).toEqual([other]);
    putInOrTakeOut(bench, "My lawn", { dimension: "ROW", at: 1, count: 1, isIn: true });
    const [moved] = await findings();
    expect(moved?.address).toBe("B4");
    if (moved === undefined) return;
    const all = await setAside(moved, "measured tomorrow", today);
    expect(all.map(({ address, reason }) => [address, reason])).toEqual([
      ["B5", "shown on the plan"],
      ["B4", "measured tomorrow"],
    ]);
    const rows = await Excel.run(async (context) => {
      const { worksheets } = context.workbook;
      worksheets.load("items/name");
      await context.sync();
      const kept = worksheets.items.find(({ name }) => name !== "My lawn");
      const used = kept?.getUsedRange(true);
      used?.load("values");
      await context.sync();
      return used?.values.map(([check]) => String(check));
    });
    expect(rows).toEqual([expect.any(String), "blank area", "blank area"]);
  });

  test("a copy for other hands is rid of the reasons", async () => {
    await setAside(await theFinding(), "the client does not know yet", today);
    const file = await bench.exportXlsx();
    const text = (bytes: Uint8Array) =>
      Object.values(unzipSync(bytes))
        .map((part) => strFromU8(part))
        .join("\n");
    expect(text(file)).toContain("the client does not know yet");
    const { bytes } = await rewriteFile(file, { mode: "native formulas", withoutOurOwn: true }, unwatched);
    expect(text(bytes)).not.toContain("the client does not know yet");
  });
});

describe("the list on a sheet", () => {
  test("tells what is open, and what is set aside with its reason", async () => {
    bench.setCell("My lawn", "A4", "East");
    bench.setCell("My lawn", "C4", "=SWARD.SEED_WEIGHT(B4,7)");
    const all = await findings();
    expect(all.map(({ address }) => address)).toEqual(["B3", "B4"]);
    const [first] = all;
    if (first === undefined) throw new Error("nothing was found");
    const kept = await setAside(first, "measured next week", today);
    const name = await putOnSheet(all, kept, today);
    expect(name).toBe("Checks");
    expect(await putOnSheet(all, kept, today)).toBe("Checks 2");
    const { lines } = listLines(all, kept, today);
    const shown = lines.map((_, row) => String(bench.value(name, `A${row + 1}`) ?? ""));
    expect(shown).toEqual(lines.map(([cell = ""]) => cell));
    const open = lines.findIndex((line) => line[1] === "B4");
    const aside = lines.findIndex((line) => line[1] === "B3");
    expect(lines.findIndex(([cell]) => cell === "Set aside")).toBeGreaterThan(open);
    expect(lines[aside]?.slice(4)).toEqual(["measured next week", "2026-08-17"]);
  });
});

/** After any edit, of whatever kind, the list that is kept up to date is the list that a full check gives. */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import type { Finding } from "../../../src/workbook/checks/check";
import type { CheckState } from "../../../src/workbook/checks/live-checks";
import { LiveChecks } from "../../../src/workbook/checks/live-checks";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";
import { writeOwnSheets } from "./own-sheets";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

/** A small generator of numbers from 0 to 1, the same every time. */
function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const worth = (findings: readonly Finding[]): readonly string[] =>
  findings.map(({ check, sheet, address, sentence }) => `${check.id} ${sheet}!${address} ${sentence}`);

/** What a person does to a workbook, with the keys and menus of the spreadsheet itself. */
function hands(random: () => number) {
  const below = (most: number): number => Math.floor(random() * most);
  const pick = <Item>(items: readonly Item[]): Item => items[below(items.length)] as Item;
  const { model } = bench;
  const dispatch = (type: string, payload: object) =>
    (model as unknown as { dispatch(type: string, payload: object): unknown }).dispatch(type, payload);
  let made = 0;
  const sheets = () => model.getters.getSheetIds();
  const sheetName = (id: string) => model.getters.getSheetName(id);
  const filled = (id: string) =>
    model.getters
      .getCells(id)
      .filter((cell) => cell.isFormula || cell.content)
      .map((cell) => model.getters.getCellPosition(cell.id));
  const anyCell = (id: string) => {
    const cells = filled(id);
    return cells.length > 0 && random() < 0.8 ? pick(cells) : { sheetId: id, col: below(12), row: below(40) };
  };
  const type = (content: string) => {
    const id = pick(sheets());
    return dispatch("UPDATE_CELL", { ...anyCell(id), sheetId: id, content });
  };
  const headers = (dimension: "ROW" | "COL", removing: boolean) => {
    const sheetId = pick(sheets());
    const [first, quantity] = [below(dimension === "ROW" ? 30 : 10), 1 + below(2)];
    const payload = { sheetId, sheetName: sheetName(sheetId), dimension };
    const elements = Array.from({ length: quantity }, (_, i) => first + i);
    if (removing) dispatch("REMOVE_COLUMNS_ROWS", { ...payload, elements });
    else dispatch("ADD_COLUMNS_ROWS", { ...payload, base: first, quantity, position: "before" });
  };
  const edits: Readonly<Record<string, () => void>> = {
    "type a number": () => type(pick(["0", "7", "-3", "5200", "0.5", "1e6"])),
    "type a text": () => type(pick(["abc", "'10-18-22", "Area, m²", "Seeding rate", "overseed", "new"])),
    "type a formula": () => type(pick(["=1/0", "=A1", "=SWARD.SEED_WEIGHT(B2,7)", "=SUM(B1:B9)", "=C2*2"])),
    clear: () => {
      const sheetId = pick(sheets());
      const { col, row } = anyCell(sheetId);
      const zone = { left: col, right: col + below(3), top: row, bottom: row + below(3) };
      dispatch("DELETE_CONTENT", { sheetId, target: [zone] });
    },
    "insert rows": () => headers("ROW", false),
    "delete rows": () => headers("ROW", true),
    "insert columns": () => headers("COL", false),
    "delete columns": () => headers("COL", true),
    rename: () => {
      const sheetId = pick(sheets());
      dispatch("RENAME_SHEET", { sheetId, oldName: sheetName(sheetId), newName: `Named ${++made}` });
    },
    add: () =>
      dispatch("CREATE_SHEET", { sheetId: `made-${++made}`, name: `Made ${made}`, position: below(3) }),
    "duplicate a sheet": () => {
      const sheetId = pick(sheets());
      const copy = { sheetIdTo: `copy-${++made}`, sheetNameTo: `Copy ${made}` };
      dispatch("DUPLICATE_SHEET", { sheetId, ...copy });
    },
    "move a sheet": () => dispatch("MOVE_SHEET", { sheetId: pick(sheets()), delta: pick([-1, 1]) }),
    "delete a sheet": () => {
      const sheetId = pick(sheets().filter((id) => /^(?:made|copy)-/.test(id)));
      if (sheetId) dispatch("DELETE_SHEET", { sheetId, sheetName: sheetName(sheetId) });
    },
    "copy and paste": () => {
      const sheetId = pick(sheets());
      dispatch("ACTIVATE_SHEET", { sheetIdFrom: model.getters.getActiveSheetId(), sheetIdTo: sheetId });
      const [from, to] = [anyCell(sheetId), anyCell(sheetId)];
      const at = ({ col, row }: { col: number; row: number }) => ({
        left: col,
        right: col,
        top: row,
        bottom: row,
      });
      model.selection.selectZone({ cell: from, zone: at(from) });
      dispatch(pick(["COPY", "CUT"]), {});
      dispatch("PASTE", { target: [at(to)] });
    },
    undo: () => bench.undo(),
    "undo twice": () => {
      bench.undo();
      bench.undo();
    },
    redo: () => bench.redo(),
  };
  return { kinds: Object.keys(edits), act: (kind: string) => edits[kind]?.() };
}

/** Longer than what is waited for the checks to be quiet, in milliseconds. */
const betweenLooks = 60;

/** A host that answers late takes longer over each edit; what it brings about shows in fewer of them. */
const rounds = isHarsh ? 2 : 12;

/** Kinds that are chosen more often than once among the others: what a person does most is type. */
const often = ["type a number", "type a number", "type a number", "type a number", "type a text", "clear"];

interface Run {
  readonly different: readonly string[];
  readonly tried: ReadonlySet<string>;
  readonly kinds: readonly string[];
  readonly found: number;
}

/** Makes edits one after another, and compares the list kept up to date with a full check after each. */
async function edited(edits: number, seed: number): Promise<Run> {
  const random = seeded(seed);
  const { kinds, act } = hands(random);
  let state: CheckState | undefined;
  let isBusy = false;
  const live = new LiveChecks(
    () => {
      isBusy = true;
      return unwatched;
    },
    (next) => {
      state = next;
      isBusy = false;
    },
    1,
    betweenLooks,
  );
  /** Until the checks ask the workbook nothing any more, whatever else a busy machine does between two turns. */
  const quiet = async () => {
    for (let [asked, turns] = [-1, 0]; isBusy || turns < 3; turns++) {
      if (asked !== bench.log.length) turns = 0;
      asked = bench.log.length;
      await new Promise((resolve) => setTimeout(resolve, 7));
    }
  };
  await live.start();
  const different: string[] = [];
  const tried = new Set<string>();
  let found = 0;
  const choice = [...kinds, ...often];
  for (let i = 0; i < edits; i++) {
    const kind = choice[Math.floor(random() * choice.length)] ?? "";
    tried.add(kind);
    act(kind);
    await bench.calculated();
    // Of a new name this host says nothing: it is looked for.
    if (isHarsh) await new Promise((resolve) => setTimeout(resolve, 2 * betweenLooks));
    await quiet();
    const full = worth((await WorkbookChecks.start(unwatched)).findings);
    const kept = state?.kind === "checked" ? worth(state.findings) : [JSON.stringify(state)];
    found += full.length;
    if (JSON.stringify(full) === JSON.stringify(kept)) continue;
    const only = (these: readonly string[], those: readonly string[]) =>
      these.filter((one) => !those.includes(one)).join("; ");
    different.push(`${i} ${kind}: kept ${only(kept, full)} | full ${only(full, kept)}`);
    await live.start();
  }
  await live.stop();
  return { different, tried, kinds, found };
}

test("after each of many edits of every kind the list kept up to date is that of a full check", async () => {
  const runs: Run[] = [];
  for (let round = 0; round < rounds; round++) {
    bench.reset();
    await writeOwnSheets(bench);
    // Faults to begin with, so that there is something to keep in the list.
    bench.setCells("Lawns", { F2: "600", F4: "0.04", E3: "13", H7: "=SUM(H2:H5)", G5: "330" });
    bench.setCells("Label", { B1: "9" });
    runs.push(await edited(25, round));
  }
  expect(runs.flatMap(({ different }) => different)).toEqual([]);
  const kinds = runs[0]?.kinds ?? [];
  if (!isHarsh) expect(new Set(runs.flatMap(({ tried }) => [...tried])).size).toBe(kinds.length);
  // Lists that are empty would be alike whatever is missed.
  expect(runs.reduce((sum, { found }) => sum + found, 0)).toBeGreaterThan(40 * rounds);
}, 240_000);

test("in the bid sheets too", async () => {
  bench.reset();
  await writeBid({ system: "us", currency: "$", property: "", sample: true }, unwatched);
  expect((await edited(isHarsh ? 2 : 25, 7)).different).toEqual([]);
}, 240_000);

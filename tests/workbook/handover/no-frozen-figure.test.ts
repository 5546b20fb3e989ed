/**
 * No figure of a handed-over bid is frozen: every input is changed in turn in another spreadsheet, and every figure
 * there is held against what our functions give for that input.
 */
import { beforeAll, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import type { Shown } from "../../support/libreoffice";
import { tried } from "../../support/libreoffice";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const letters = (column: number): string =>
  column < 26
    ? String.fromCharCode(65 + column)
    : letters(Math.floor(column / 26) - 1) + String.fromCharCode(65 + (column % 26));

/** The inputs, as the list of the hand-over names them. */
function inputsOn(list: string): readonly (readonly [sheet: string, cell: string, held: unknown])[] {
  const inputs: (readonly [string, string, unknown])[] = [];
  for (let row = 4; bench.value(list, `A${row}`) !== null && bench.value(list, `A${row}`) !== ""; row++) {
    const [sheet, cell, held] = ["A", "B", "C"].map((column) => bench.value(list, `${column}${row}`));
    if (!String(bench.formula(list, `D${row}`)).startsWith("=ROWS("))
      inputs.push([String(sheet), String(cell), held]);
  }
  return inputs;
}

/** Another figure of the kind: a share stays a share, a count a count. A choice becomes another one of its column. */
function other(held: unknown, choices: readonly string[]): string | undefined {
  if (typeof held === "number") {
    if (held === 0) return undefined;
    if (held < 1) return String(held * 0.9);
    return Number.isInteger(held) ? String(held + 1) : String(held * 1.1);
  }
  return choices.find((choice) => choice !== held);
}

const jobs = [
  { what: "the sample", bid: { system: "us", sample: true }, typed: {} },
  {
    what: "a metric job with other zones, two pack sizes and stock",
    bid: { system: "metric", sample: true },
    typed: { Site: { I10: "612", J10: "40" }, Materials: { L8: "10", K8: "25", N8: "66", O8: "31" } },
  },
] as const;

test.each(jobs)(
  "$what: every input changed in turn, every figure follows it",
  async ({ bid, typed }) => {
    bench.reset();
    const { sheets } = await writeBid({ ...bid, currency: "$", property: "Larkfield House" }, unwatched);
    for (const [sheet, cells] of Object.entries(typed)) bench.setCells(sheet, cells);
    const before = await bench.exportXlsx();
    const { putBack, stopped, list } = await handOver(sheets, unwatched);
    expect([...putBack, ...stopped]).toEqual([]);
    const name = list !== undefined && "sheet" in list ? list.sheet : "";
    const inputs = inputsOn(name);
    const file = await bench.exportXlsx();
    await bench.importXlsx(before);

    const texts = (of: (sheet: string, column: string) => boolean): readonly string[] =>
      inputs
        .filter(([sheet, cell, held]) => typeof held === "string" && of(sheet, cell.replace(/\d+/, "")))
        .map(([, , held]) => String(held));
    const products = texts((sheet, column) => sheet === "Materials" && column === "A");
    const changes = inputs.flatMap(([sheet, cell, held]) => {
      const column = cell.replace(/\d+/, "");
      const choices = products.includes(String(held))
        ? products
        : texts((otherSheet, otherColumn) => otherSheet === sheet && otherColumn === column);
      const changed = other(held, choices);
      return changed === undefined ? [] : [{ sheet, cell, held, changed }];
    });
    const there = await tried(
      file,
      changes.map(({ sheet, cell, changed }) => [sheet, cell, changed] as const),
      { timeoutMs: 400_000 },
    );
    expect(there.changes).toHaveLength(changes.length);
    const figures = [...there.all].filter(([place]) => !place.startsWith(`${name}!`));

    const ours = (place: string): Shown => {
      const [sheet = "", at = ""] = place.split("!");
      const [row = 0, column = 0] = at.split(",").map(Number);
      const value = bench.value(sheet, `${letters(column)}${row + 1}`);
      if (typeof value === "number") return value;
      return typeof value === "string" && value.startsWith("#") ? "error" : "text";
    };
    const apart = (a: Shown, b: Shown): boolean =>
      typeof a === "number" && typeof b === "number"
        ? Math.abs(a - b) > 1e-9 * Math.max(Math.abs(a), Math.abs(b), 1e-3)
        : typeof a === "number" || typeof b === "number" || (a === "error") !== (b === "error");
    // Half a cent in binary is a little more or less: each program rounds it in its own way.
    const isTie = (a: Shown, b: Shown): boolean =>
      typeof a === "number" &&
      typeof b === "number" &&
      [a, b].every((sum) => Math.abs(sum * 100 - Math.round(sum * 100)) < 1e-6) &&
      Math.abs(Math.round(a * 100) - Math.round(b * 100)) === 1;
    const wrong: string[] = [];
    let [compared, cautious] = [0, 0];
    for (const [i, { sheet, cell, held, changed }] of changes.entries()) {
      // What was changed last goes back with the same edit, so that the bid is worked out once for each input.
      const last = changes[i - 1];
      const restored = last === undefined ? {} : { [last.cell]: String(last.held) };
      if (last !== undefined && last.sheet !== sheet) bench.setCells(last.sheet, restored);
      bench.setCells(sheet, { ...(last?.sheet === sheet ? restored : {}), [cell]: changed });
      const round = figures.map(([place, first]) => {
        const [said, native] = [ours(place), there.changes[i]?.get(place) ?? first];
        return { place, said, native };
      });
      // A search that is refused shows one error and leaves the cells beside it empty; handed over, each shows one.
      const isRefused = round.some(({ said }) => said === "error");
      for (const { place, said, native } of round) {
        compared++;
        if (!apart(said, native) || isTie(said, native)) continue;
        if (isRefused && native === "error") cautious++;
        else wrong.push(`${sheet}!${cell} ${String(held)} → ${changed}: ${place} is ${native} for ${said}`);
      }
    }
    console.log(
      `${changes.length} inputs changed, ${compared} figures compared, ${wrong.length} differ; ${cautious} show an error beside a call that is refused`,
    );
    expect(wrong.slice(0, 40)).toEqual([]);
  },
  600_000,
);

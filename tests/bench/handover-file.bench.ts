/**
 * A file of 10,000 calls handed over, as native formulas and as values, against the same file unpacked and packed
 * again unchanged, in one run; printed per thousand calls, as a ratio to that.
 */
import { unzipSync, zipSync } from "fflate";
import { bench, describe } from "vitest";
import { rewriteFile } from "../../src/workbook/handover/file/rewrite-file";
import { unwatched } from "../support/built-workbench";
import { withEdited } from "../support/file-parts";
import { plainWorkbook } from "../support/libreoffice";

const calls = 10_000;

const cells = Array.from({ length: calls }, (_, i) => [
  { sheet: "Zones", address: `A${i + 1}`, content: 1000 + i },
  { sheet: "Zones", address: `B${i + 1}`, content: `=_xldudf_SWARD_SEED_WEIGHT(A${i + 1},$D$1)` },
]).flat();

/** With the values that a host would have saved. */
const file = withEdited(plainWorkbook([...cells, { sheet: "Zones", address: "D1", content: 7 }]), {
  "xl/sheet1.xml": (xml) => xml.replaceAll("</f></c>", "</f><v>7</v></c>"),
});

const spent = new Map<string, { time: number; runs: number }>();

const mean = (name: string): number => {
  const { time, runs } = spent.get(name) ?? { time: Number.NaN, runs: 1 };
  return time / runs;
};

const unchanged = "unpacked and packed again";

function timed(name: string, work: () => Promise<unknown>): void {
  bench(
    name,
    async () => {
      const began = performance.now();
      await work();
      const { time, runs } = spent.get(name) ?? { time: 0, runs: 0 };
      spent.set(name, { time: time + performance.now() - began, runs: runs + 1 });
    },
    {
      iterations: 10,
      warmupIterations: 2,
      time: 0,
      teardown: (_task, mode) => {
        if (mode !== "run" || name === unchanged) return;
        const ratio = mean(name) / mean(unchanged) / (calls / 1000);
        console.log(`${name}: a thousand calls take ${ratio.toFixed(2)} times the file ${unchanged}`);
      },
    },
  );
}

describe("10,000 calls in a file", () => {
  timed(unchanged, () => Promise.resolve(zipSync(unzipSync(file))));
  timed("native formulas", () => rewriteFile(file, { mode: "native formulas" }, unwatched));
  timed("values", () => rewriteFile(file, { mode: "values" }, unwatched));
});

import { expect, test } from "vitest";
import { recalculateFormulas } from "../support/libreoffice";
import { compared, laidCases } from "../support/native-cases";

test("LibreOffice gives the native forms the numbers that the functions give", async () => {
  const laid = laidCases(80, 20_000);
  const found = compared(laid, await recalculateFormulas(laid.cells, { timeoutMs: 300_000 }));
  const kept = [...found.excluded.values()].reduce((sum, many) => sum + many, 0);
  console.log(
    `${found.compared} answers compared, largest relative difference ${found.largest.toExponential(1)}; ` +
      `${kept} refused ones have a native number, but the limit on an input cell excludes them: ${[...found.excluded.keys()].sort().join(", ")}`,
  );
  expect(found.troubles.slice(0, 20)).toEqual([]);
  expect(found.compared).toBeGreaterThan(3000);
}, 400_000);

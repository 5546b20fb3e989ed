import { expect, test } from "vitest";
import { anyCalculator } from "../../src/engine/calculate";
import { asHandedOver } from "../../src/engine/arguments";
import { catalogue } from "../../src/engine/catalogue";
import type { WorksheetFunction } from "../../src/engine/formula";
import { whyNoFormula } from "../../src/engine/formula";
import type { NativeArgument } from "../../src/engine/native/pieces";
import { nativeCell } from "../../src/engine/native/spilled";
import { binding, leftOut } from "../../src/engine/native/pieces";
import { isRepeating } from "../../src/engine/parameters";
import { Refusal } from "../../src/engine/refusal";
import { recalculateInIronCalc } from "../support/ironcalc";
import type { CellContent } from "../support/libreoffice";
import { recalculateFormulas } from "../support/libreoffice";

interface Case {
  readonly definition: WorksheetFunction;
  /** The example's arguments, undefined where one is left out. */
  readonly given: readonly unknown[];
}

/** Every example with each argument left out in turn, cut short after each, and one left out between repeated ones. */
const cases: readonly Case[] = catalogue
  .filter((definition) => whyNoFormula(definition) === undefined)
  .flatMap((definition) => {
    const { given } = definition.example;
    const last = definition.parameters[definition.parameters.length - 1];
    const repeated =
      last !== undefined && isRepeating(last) ? [[...given, undefined, given[given.length - 1]]] : [];
    const without = given.map((_one, i) => given.map((one, j) => (i === j ? undefined : one)));
    const short = given.map((_one, i) => given.slice(0, i));
    return [given, ...without, ...short, ...repeated].map((some) => ({ definition, given: some }));
  });

const written = (value: unknown): NativeArgument => {
  if (value === undefined) return leftOut;
  if (Array.isArray(value)) {
    const rows = value as readonly (readonly number[])[];
    return { text: `{${rows.map((row) => row.join(",")).join(";")}}`, binding: binding.whole };
  }
  const text = typeof value === "string" ? `"${value}"` : String(Number(value));
  const tight = typeof value === "number" && value < 0 ? binding.sign : binding.whole;
  return { text, binding: tight, literal: value as number | string };
};

test("a left-out argument is what the function takes it for, in LibreOffice and in the second engine", async () => {
  const cells: CellContent[] = [];
  const wanted = cases.map(({ definition, given }, i) => {
    let first: unknown;
    try {
      const answer = anyCalculator(definition)(...asHandedOver(definition.parameters, given));
      first = Array.isArray(answer) ? (answer as unknown[][])[0]?.[0] : answer;
      if (first instanceof Refusal) first = "refused";
    } catch (refusal) {
      if (!(refusal instanceof Refusal)) throw refusal;
      first = "refused";
    }
    const { spills } = definition.example;
    const at = { rows: spills?.length ?? 1, columns: spills?.[0]?.length ?? 1, row: 0, column: 0 };
    let text: string;
    try {
      text = nativeCell(definition, given.map(written), at).text;
    } catch (why) {
      // Told before anything is written.
      text = `"${why instanceof Error ? why.name : ""}"`;
    }
    cells.push({ sheet: "S", address: `A${i + 1}`, content: `=${text}` });
    return { first, text };
  });
  const engines = { LibreOffice: await recalculateFormulas(cells), IronCalc: recalculateInIronCalc(cells) };
  for (const [engine, values] of Object.entries(engines)) {
    cases.forEach(({ definition, given }, i) => {
      const { first, text } = wanted[i] ?? { first: null, text: "" };
      const shown = values.get("S")?.[i]?.[0] ?? null;
      const story = `${engine}: ${definition.id}(${JSON.stringify(given)}) =${text}`;
      if (shown === "NoNativeForm" || shown === "Refusal") return;
      if (first === "refused") return expect([story, String(shown).charAt(0)]).toEqual([story, "#"]);
      if (typeof first === "number")
        return expect([story, Math.abs(Number(shown) - first) <= 2e-6 * Math.abs(first)]).toEqual([
          story,
          true,
        ]);
      return expect([story, shown]).toEqual([story, first]);
    });
  }
  console.log(`${cases.length} calls with something left out`);
}, 60_000);

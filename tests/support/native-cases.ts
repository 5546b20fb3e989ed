/** Every native form over random arguments: laid into cells, and compared with what the functions answer. */
import fc from "fast-check";
import { checkArguments } from "../../src/engine/arguments";
import type { Answer } from "../../src/engine/calculate";
import { anyCalculator } from "../../src/engine/calculate";
import { catalogue } from "../../src/engine/catalogue";
import type { SpillPlace, WorksheetFunction } from "../../src/engine/formula";
import type { NativeArgument } from "../../src/engine/native/pieces";
import { nativeCell } from "../../src/engine/native/spilled";
import { nativeForm } from "../../src/engine/native/form";
import { binding, leftOut } from "../../src/engine/native/pieces";
import type { Parameter } from "../../src/engine/parameters";
import { Refusal } from "../../src/engine/refusal";
import { argumentsOf } from "./arguments";
import type { CellContent, CellValue, SheetValues } from "./libreoffice";

const rowsOfCase = 14;

/** Functions in the algebra; those with a form of their own have tests of their own. */
const withNativeForm = catalogue.filter(
  ({ form }) => form === "formula" || form === "spilled formula" || form === "each row",
);

/** How an argument stands in the formula: as a reference to an input, to a computed cell, or written out. */
type Stand = "input" | "computed" | "written";

interface Argument {
  readonly parameter: Parameter | undefined;
  readonly raw: unknown;
  readonly stand: Stand;
}

interface Case {
  readonly definition: WorksheetFunction;
  readonly arguments: readonly Argument[];
  readonly answer: Answer | Refusal;
}

const letters = (n: number): string =>
  (n < 26 ? "" : letters(Math.floor(n / 26) - 1)) + String.fromCharCode(65 + (n % 26));

/** Arguments as they stand in a formula: each of a repeating parameter by itself. */
function spread(
  definition: WorksheetFunction,
  given: readonly unknown[],
): readonly Omit<Argument, "stand">[] {
  return definition.parameters.flatMap((parameter, i): readonly Omit<Argument, "stand">[] =>
    parameter.takes === "repeating" || parameter.takes === "columns"
      ? (given[i] as readonly unknown[]).map((raw) => ({ parameter, raw }))
      : [{ parameter, raw: given[i] }],
  );
}

/** Something that no limit lets through, in one place; most cases are left as they are. */
const spoilt = (
  definition: WorksheetFunction,
  given: readonly unknown[],
): fc.Arbitrary<readonly unknown[]> =>
  definition.form === "each row"
    ? fc.constant(given)
    : fc.oneof(
        { weight: 4, arbitrary: fc.constant(given) },
        fc
          .tuple(
            fc.nat({ max: Math.max(0, given.length - 1) }),
            fc.constantFrom<unknown>(0, -3, null, 1.5, "nothing"),
          )
          .map(([place, value]) =>
            given.map((one, i) => {
              const takes = definition.parameters[i]?.takes;
              if (i !== place || takes === "repeating" || takes === "columns") return one;
              return takes === "range" && definition.parameters[i]?.blank !== "default"
                ? [[value], [value]]
                : value;
            }),
          ),
      );

const caseOf = (definition: WorksheetFunction): fc.Arbitrary<Case> =>
  argumentsOf(definition)
    .chain((given) => spoilt(definition, given))
    .chain((given) => {
      const spreadOut = spread(definition, given);
      const stands = spreadOut.map(({ raw, parameter }): fc.Arbitrary<Stand> => {
        if (definition.form === "each row" && parameter?.takes === "text") return fc.constant("written");
        if (raw === null) return fc.constantFrom("input", "written");
        // A blank inside a table cannot be written out, and a text in one is no number.
        if (Array.isArray(raw) && raw.flat().some((cell) => typeof cell !== "number"))
          return fc.constant("input");
        if (typeof raw === "string" && raw === "nothing") return fc.constant("input");
        return fc.constantFrom("input", "input", "computed", "written");
      });
      return fc.tuple(...stands).map((chosen): Case => {
        let answer: Answer | Refusal;
        try {
          answer = anyCalculator(definition)(...given);
        } catch (refusal) {
          if (!(refusal instanceof Refusal)) throw refusal;
          answer = refusal;
        }
        return {
          definition,
          arguments: spreadOut.map((one, i) => ({ ...one, stand: chosen[i] ?? "input" })),
          answer,
        };
      });
    });

const written = (value: unknown): string => (typeof value === "string" ? `"${value}"` : String(value));

/** Puts the arguments of a case into cells and says how its formula refers to them. */
function lay(one: Case, top: number, cells: CellContent[]): readonly NativeArgument[] {
  let left = 0;
  return one.arguments.map(({ raw, stand }): NativeArgument => {
    const table = Array.isArray(raw) ? (raw as unknown[][]) : undefined;
    if (stand === "written") {
      if (raw === null || raw === undefined) return leftOut;
      if (table !== undefined) {
        return {
          text: `{${table.map((row) => row.map(written).join(",")).join(";")}}`,
          binding: binding.whole,
        };
      }
      const tight = typeof raw === "number" && raw < 0 ? binding.sign : binding.whole;
      return { text: written(raw), binding: tight, literal: raw as number | string };
    }
    const rows = table ?? [[raw]];
    const width = rows[0]?.length ?? 1;
    rows.forEach((row, i) => {
      row.forEach((value, j) => {
        if (value === null || value === undefined || value === "") return;
        const content =
          stand === "computed" && typeof value === "number"
            ? `=${value}`
            : (value as number | string | boolean);
        cells.push({ sheet: "In", address: `${letters(left + j)}${top + i}`, content });
      });
    });
    const first = `${letters(left)}${top}`;
    const last = `${letters(left + width - 1)}${top + rows.length - 1}`;
    left += width;
    const text = first === last ? `In!${first}` : `In!${first}:${last}`;
    return { text, binding: binding.whole, ...(stand === "computed" ? { computed: true } : {}) };
  });
}

/** The cells of the answer, with the place of each. */
function placesOf(one: Case): readonly { at: SpillPlace; wanted: unknown }[] {
  const rows = Array.isArray(one.answer) ? (one.answer as unknown[][]) : [[one.answer]];
  const shape = { rows: rows.length, columns: rows[0]?.length ?? 1 };
  return rows.flatMap((row, i) => row.map((wanted, j) => ({ at: { ...shape, row: i, column: j }, wanted })));
}

/** Which input cell of the case its own limit keeps a person from filling so. */
function excludedBy(one: Case): string | undefined {
  const { definition } = one;
  const inner =
    definition.form === "each row"
      ? definition.functions.find(({ id }) => id === one.arguments[0]?.raw)
      : undefined;
  const found = one.arguments.find(({ parameter, raw, stand }, i) => {
    const judged =
      inner === undefined ? parameter : inner.parameters[Math.min(i - 1, inner.parameters.length - 1)];
    if (stand !== "input" || judged === undefined || i < (inner === undefined ? 0 : 1)) return false;
    const values = inner !== undefined && Array.isArray(raw) ? (raw as unknown[]).flat() : [raw];
    return values.some((value) => {
      try {
        checkArguments([judged], [judged.takes === "repeating" ? [value] : value]);
        return false;
      } catch {
        return true;
      }
    });
  });
  return found?.parameter?.id;
}

interface LaidFormula {
  readonly text: string;
  readonly wanted: unknown;
}

export interface LaidCases {
  readonly cases: readonly Case[];
  readonly cells: readonly CellContent[];
  readonly formulas: readonly (readonly LaidFormula[])[];
}

/** So many cases of each function, with the cells that their formulas read and those that hold the formulas. */
export function laidCases(ofEach: number, seed: number): LaidCases {
  const cases = withNativeForm.flatMap((definition, i) =>
    fc.sample(caseOf(definition), { numRuns: ofEach, seed: seed + i }),
  );
  const cells: CellContent[] = [];
  const formulas = cases.map((one, i) => {
    const given = lay(one, 1 + i * rowsOfCase, cells);
    return placesOf(one).map(({ at, wanted }, j) => {
      const { text } =
        one.definition.form === "formula"
          ? nativeForm(one.definition, given)
          : nativeCell(one.definition, given, at);
      cells.push({ sheet: "Out", address: `${letters(j)}${i + 1}`, content: `=${text}` });
      return { text, wanted };
    });
  });
  return { cases, cells, formulas };
}

export interface Comparison {
  readonly compared: number;
  readonly largest: number;
  /** How many refused ones have a native number that the limit on an input cell excludes, and which limits those are. */
  readonly excluded: ReadonlyMap<string, number>;
  readonly troubles: readonly string[];
}

/** What an engine makes of the formulas, held against what the functions answer; what the engine is known to get wrong is let through. */
export function compared(
  { cases, formulas }: LaidCases,
  values: SheetValues,
  isKnown: (text: string) => boolean = () => false,
): Comparison {
  const out = values.get("Out") ?? [];
  let many = 0;
  let largest = 0;
  const excluded = new Map<string, number>();
  const troubles: string[] = [];
  cases.forEach((one, i) => {
    formulas[i]?.forEach(({ text, wanted }, j) => {
      if (isKnown(text)) return;
      const shown: CellValue = out[i]?.[j] ?? null;
      const told = () =>
        `${one.definition.id} ${JSON.stringify(one.arguments.map(({ raw, stand }) => [raw, stand]))}: =${text}`;
      const failed = typeof shown === "string" && shown.startsWith("#");
      if (wanted instanceof Refusal) {
        if (failed) return void (many += 1);
        const limit = excludedBy(one);
        if (limit === undefined)
          troubles.push(`${told()} gives ${String(shown)}, refused: ${wanted.sentence}`);
        else
          excluded.set(
            `${one.definition.id} ${limit}`,
            (excluded.get(`${one.definition.id} ${limit}`) ?? 0) + 1,
          );
        return;
      }
      // The list of a text cell keeps a person from typing 0 there.
      if (
        failed &&
        one.arguments.some(
          ({ parameter, raw, stand }) => parameter?.takes === "text" && raw === 0 && stand === "input",
        )
      )
        return;
      if (typeof wanted !== "number" || typeof shown !== "number") {
        if (wanted !== shown) troubles.push(`${told()} gives ${String(shown)}, not ${String(wanted)}`);
        return;
      }
      many += 1;
      // Where figures cancel each other out, a difference counts against the figures and not against what is left.
      const figures = one.arguments.flatMap(({ raw }) =>
        Array.isArray(raw) ? (raw as unknown[]).flat() : [raw],
      );
      const scale =
        one.definition.id === "SEASON_ROOM"
          ? Math.max(...figures.map((value) => Math.abs(Number(value))))
          : 0;
      const size = Math.max(Math.abs(wanted), scale);
      const difference = wanted === shown ? 0 : Math.abs(wanted - shown) / (size === 0 ? 1 : size);
      largest = Math.max(largest, difference);
      if (!(difference < 1e-9)) troubles.push(`${told()} gives ${shown}, not ${wanted}`);
    });
  });
  return { compared: many, largest, excluded, troubles };
}

import { beforeAll, describe, expect, test } from "vitest";
import { asHandedOver } from "../../src/engine/arguments";
import { functionNamed } from "../../src/engine/catalogue";
import { worksheetFunction } from "../../src/functions/worksheet-function";
import { installCustomFunctions } from "../support/custom-functions";
import type { PublishedCase } from "./published";
import { publishedSources } from "./sources";

beforeAll(installCustomFunctions);

/** What the function gives as the worksheet calls it. */
function given({ function: name, given: list, cell }: PublishedCase): number {
  const definition = functionNamed(name);
  if (definition === undefined) throw new Error(`${name} is not in the catalogue`);
  const answer = worksheetFunction(definition)(...asHandedOver(definition.parameters, list));
  return Number(cell === undefined ? answer : (answer as number[][])[cell[0]]?.[cell[1]]);
}

const cited = publishedSources.map(
  (source) =>
    [
      `${source.publisher}, ${source.title}${source.year === undefined ? "" : `, ${source.year}`}`,
      source,
    ] as const,
);

describe.each(cited)("%s", (_citation, { provenance, cases }) => {
  const shown = (value: unknown): string => {
    const text = JSON.stringify(value);
    return text.length > 60 ? `${text.slice(0, 57)}...` : text;
  };
  const named = cases.map(
    (one) =>
      [
        `${one.function} ${shown(one.given)} is ${one.printed} (${one.because}; ${one.provenance ?? provenance})`,
        one,
      ] as const,
  );

  test.each(named)("%s", (_name, one) => {
    const answer = given(one);
    const exact = Math.abs(one.printed) * 1e-12;
    expect(Math.abs(answer - one.printed)).toBeLessThanOrEqual(one.within + exact);
    if (one.not !== undefined) expect(Math.abs(answer - one.not)).toBeGreaterThan(one.within);
  });
});

test("there are enough cases, and few of them rest on memory alone", () => {
  const all = publishedSources.flatMap(({ cases, provenance }) =>
    cases.map((one) => one.provenance ?? provenance),
  );
  const read = all.filter((provenance) => provenance === "read in the source").length;
  expect(all.length).toBeGreaterThanOrEqual(120);
  expect(read).toBeGreaterThan(all.length / 2);
});

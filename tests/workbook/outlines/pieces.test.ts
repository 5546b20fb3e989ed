/** A map file is read in short pieces, whatever is in it: what is done in a piece is counted, since time says nothing. */
import fc from "fast-check";
import { Geodesic } from "geographiclib-geodesic";
import { SaxesParser } from "saxes";
import { afterEach, describe, expect, test, vi } from "vitest";
import { Gathering } from "../../../src/workbook/outlines/gathering";
import { readingJson } from "../../../src/workbook/outlines/json";
import { readingOutlines } from "../../../src/workbook/outlines/read-outlines";
import type { Pieces } from "../../../src/workbook/host/progress";
import { atOnce } from "../../../src/workbook/host/progress";
import { WorkbookTrouble } from "../../../src/workbook/host/trouble";
import { drawn, strangeMapFiles } from "../../support/strange-texts";

afterEach(() => {
  vi.restoreAllMocks();
});

/** What the pieces of a work told, and the most that grew within one of them; a refusal is an end like another. */
function counted(
  work: Pieces<unknown>,
  now: () => readonly number[],
): { shares: number[]; most: readonly number[]; all: readonly number[] } {
  const shares: number[] = [];
  const begun = now();
  let [most, last] = [begun.map(() => 0), begun];
  const mark = () => {
    const here = now();
    most = most.map((before, i) => Math.max(before, (here[i] ?? 0) - (last[i] ?? 0)));
    last = here;
  };
  try {
    for (let done = false; !done; mark()) {
      const piece = work.next();
      done = piece.done === true;
      if (piece.done !== true) shares.push(piece.value);
    }
  } catch (error) {
    if (!(error instanceof WorkbookTrouble)) throw error;
    mark();
  }
  return { shares, most, all: last.map((here, i) => here - (begun[i] ?? 0)) };
}

const letters = 150_000;

/** The file read in pieces: corners measured and letters of XML read, of which so many in a piece are a few milliseconds. */
function readInPieces(make: (draw: () => number, most: number) => string) {
  const measuring = vi.spyOn(Geodesic.WGS84, "Inverse");
  const reading = vi.spyOn(SaxesParser.prototype, "write");
  return counted(readingOutlines("Site", make(drawn(20), letters)), () => [
    measuring.mock.calls.length,
    reading.mock.calls.reduce((sum, [text]) => sum + (typeof text === "string" ? text.length : 0), 0),
  ]);
}

test.each(Object.entries(strangeMapFiles))("a map file gives way often: %s", (_name, make) => {
  const { shares, most } = readInPieces(make);
  const [corners, text] = most;
  expect(corners).toBeLessThanOrEqual(1001);
  expect(text).toBeLessThanOrEqual(32_768);
  expect(shares.filter((share) => !(share >= 0 && share <= 1))).toEqual([]);
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
});

test("what is counted is the work: the corners of a long ring, and the letters of a long file", () => {
  const zigzag = readInPieces(
    (draw) => strangeMapFiles["a zigzag that no thinning shortens"]?.(draw, 600_000) ?? "",
  );
  expect(zigzag.all[0]).toBeGreaterThan(5000);
  vi.restoreAllMocks();
  const places = readInPieces((draw) => strangeMapFiles["KML with very many places"]?.(draw, letters) ?? "");
  expect(places.all[1]).toBeGreaterThan(letters / 2);
});

describe("JSON", () => {
  const read = (text: string): unknown => atOnce(readingJson(text, new Gathering("Site")));
  const orRefused = (work: () => unknown): unknown => {
    try {
      return JSON.stringify(work());
    } catch {
      return "refused";
    }
  };

  test("is read as the language's own reader reads it", () => {
    fc.assert(
      fc.property(fc.json({ stringUnit: "binary" }), fc.constantFrom(0, 1, 4), (text, indent) => {
        const spaced = JSON.stringify(JSON.parse(text), undefined, indent);
        expect(orRefused(() => read(spaced))).toBe(orRefused(() => JSON.parse(spaced)));
      }),
      { numRuns: 150 },
    );
  });

  test("torn and patched, it is refused where the language's own reader refuses it", () => {
    const patch = fc.constantFrom(
      "",
      "[",
      "]",
      "{",
      "}",
      ",",
      ":",
      '"',
      "\\",
      "-",
      "0",
      ".",
      "e",
      "1",
      "t",
      "\n",
      "\f",
      "[1,2]",
    );
    fc.assert(
      fc.property(fc.json(), fc.nat(), fc.nat(3), patch, (text, at, cut, put) => {
        const start = at % (text.length + 1);
        const torn = text.slice(0, start) + put + text.slice(start + cut);
        expect(orRefused(() => read(torn))).toBe(orRefused(() => JSON.parse(torn)));
      }),
      { numRuns: 2000 },
    );
  });

  test.each([
    "01",
    "1.",
    ".5",
    "-",
    "+1",
    "1e",
    "NaN",
    "[1,]",
    "[,1]",
    "[01]",
    "[1 2]",
    "[-]",
    "[tru]",
    "[1\u00a0]",
    '{"a"}',
    '{"a":1,}',
    '"\\x"',
    '"\n"',
    '"\\"',
    "true false",
    "",
    " ",
  ])("%j is no JSON", (text) => {
    expect(orRefused(() => read(text))).toBe("refused");
  });

  test("no more than 2,000 values are read in a piece", () => {
    const text = JSON.stringify({ coordinates: [Array.from({ length: 30_000 }, (_, i) => [i, { a: i }])] });
    const { shares } = counted(readingJson(text, new Gathering("Site")), () => []);
    // Of each of the pairs the number, the object and its member, and the pair itself are values: 90,000 at the least.
    expect(shares.length).toBeGreaterThanOrEqual(90_000 / 2000);
  });
});

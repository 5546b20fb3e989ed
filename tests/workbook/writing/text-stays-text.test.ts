/** Any text, through every writer, is that text afterwards: in the workbench, in its harsh mode, and in another program. */
import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { cellName } from "../../../src/workbench/host/area";
import type { Workbench } from "../../../src/workbench/node";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { putOnSheet as listChecks } from "../../../src/workbook/checks/list-sheet";
import { WorkbookChecks } from "../../../src/workbook/checks/run-checks";
import { readSetAside, setAside } from "../../../src/workbook/checks/set-aside";
import { putOnSheet as putDrawing } from "../../../src/workbook/drawings/on-sheet";
import { bringBack } from "../../../src/workbook/handover/bring-back";
import { handOver } from "../../../src/workbook/handover/hand-over";
import { handOverWays } from "../../../src/workbook/handover/ways";
import { rewriteFile } from "../../../src/workbook/handover/file/rewrite-file";
import { readerFile } from "../../../src/workbook/handover/reader/reader-file";
import { valuesBeside } from "../../../src/workbook/handover/values-beside";
import { bringOutlines } from "../../../src/workbook/outlines/bring-outlines";
import { isHarsh, openWorkbench, unwatched } from "../../support/built-workbench";
import { hostileTexts, longestText } from "../../support/hostile-texts";
import type { CellValue, SheetValues } from "../../support/libreoffice";
import { recalculate } from "../../support/libreoffice";
import { openBid, openMade } from "../../support/made-once";
import { addAll } from "../own-sheets/add-all";

let bench: Workbench;
beforeAll(async () => {
  bench = await openWorkbench();
});

const today = 46_251;
/** Any letters that a file can hold, and what is spelt as numbers and formulas are. */
const anyText = fc.oneof(
  fc
    .string({ unit: "binary", minLength: 1, maxLength: 30 })
    // No sheet holds the character zero, the workbench's spreadsheet no return, and half of a pair is no character.
    .map((text) => text.replace(/[\0\r\ufffe\uffff]|[\ud800-\udfff]/g, "x")),
  fc
    .array(fc.constantFrom("_", "x", "0", "04", "1", "_x0041_", "_x000", "\u0007", "\u001f", "F"), {
      minLength: 1,
      maxLength: 8,
    })
    .map((pieces) => pieces.join("")),
  fc.stringMatching(/^#(N\/A|VALUE!|DIV\/0!|NAME\?|[A-Z]{2,6}[!?]?)$/),
  fc.stringMatching(/^['=+@#-]?[0-9 .,:/%$€()eE-]{1,12}$/),
);
const texts: readonly string[] = [
  ...hostileTexts,
  ...fc.sample(anyText, { numRuns: 60, seed: 2026 }),
  longestText,
];

/** The texts that are not what they were, with what they are. */
function missed(given: readonly string[], held: readonly unknown[]): readonly string[] {
  return given.flatMap((text, i) =>
    held[i] === text
      ? []
      : [`${JSON.stringify(text).slice(0, 40)} is ${JSON.stringify(held[i])?.slice(0, 60)}`],
  );
}

const column = (sheet: string, letter: string, first: number, count = texts.length): unknown[] =>
  Array.from({ length: count }, (_, i) => bench.value(sheet, `${letter}${first + i}`));

const inFile = (
  cells: SheetValues,
  sheet: string,
  at: number,
  first: number,
  count = texts.length,
): CellValue[] => Array.from({ length: count }, (_, i) => cells.get(sheet)?.[first - 1 + i]?.[at] ?? null);

/** A formula that shows a text, in pieces that a formula holds; what nobody types in a formula comes by its number. */
const showing = (text: string): string =>
  `=${(text.match(/[\0-\x08\x0b-\x1f]|[^\0-\x08\x0b-\x1f]{1,120}/gu) ?? [""])
    .map((piece) =>
      /^[\0-\x08\x0b-\x1f]$/.test(piece)
        ? `CHAR(${piece.charCodeAt(0)})`
        : `"${piece.replaceAll('"', '""')}"`,
    )
    .join("&")}`;

/** What is too long for a formula, or no character of a file, is shown from its cell. */
const isShownByFormula = (text: string): boolean => text.length < 1000 && !/[\ufffe\uffff]/.test(text);

/** A, a typed text; B, a reference to it; C, a formula that shows it; D, the same in a cell that became one of text. */
const sheetOfTexts = (): Promise<void> => openMade(bench, "a sheet of texts", writeTexts);

async function writeTexts(): Promise<void> {
  const cells = texts.flatMap((text, i): [string, string][] => [
    [`A${i + 1}`, `'${text}`],
    [`B${i + 1}`, `=A${i + 1}`],
    [`C${i + 1}`, isShownByFormula(text) ? showing(text) : `=A${i + 1}&""`],
    [`D${i + 1}`, `=C${i + 1}&""`],
    [`E${i + 1}`, `=SWARD.PACKS(${i + 1},2)`],
  ]);
  bench.setCells("Sheet1", Object.fromEntries(cells));
  await Excel.run(async (context) => {
    const range = context.workbook.worksheets.getItem("Sheet1").getRange(`D1:D${texts.length}`);
    range.numberFormat = texts.map(() => ["@"]);
    await context.sync();
  });
}

const columns = ["A", "B", "C", "D"] as const;
const heldIn = (sheet: string) =>
  Object.fromEntries(columns.map((letter) => [letter, missed(texts, column(sheet, letter, 1))]));
const heldInFile = (cells: SheetValues, sheet: string) =>
  Object.fromEntries(columns.map((letter, at) => [letter, missed(texts, inFile(cells, sheet, at, 1))]));
const none = Object.fromEntries(columns.map((letter) => [letter, []]));

test("before anything is done the texts are the texts", async () => {
  await sheetOfTexts();
  expect(heldIn("Sheet1")).toEqual(none);
});

describe.each(handOverWays)("handed over as %s", (way) => {
  test("in place, and brought back", async () => {
    await sheetOfTexts();
    const report = await handOver(["Sheet1"], unwatched, way);
    expect([report.stopped, report.putBack]).toEqual([[], []]);
    expect(report.converted).toBe(texts.length);
    await bench.calculated();
    expect(heldIn("Sheet1")).toEqual(none);
    expect(heldInFile(await recalculate(await bench.exportXlsx()), "Sheet1")).toEqual(none);
    await bringBack(["Sheet1"], unwatched);
    await bench.calculated();
    expect(heldIn("Sheet1")).toEqual(none);
  });
});

describe("values beside", () => {
  test("with the working", async () => {
    await sheetOfTexts();
    const { sheets } = await valuesBeside(["Sheet1"], true, unwatched);
    await bench.calculated();
    expect(heldIn(sheets[0] ?? "")).toEqual(none);
    expect(
      columns.flatMap((letter) => texts.map((_, i) => bench.formula(sheets[0] ?? "", `${letter}${i + 1}`))),
    ).toEqual(columns.flatMap(() => texts.map(() => null)));
    expect(heldInFile(await recalculate(await bench.exportXlsx()), sheets[0] ?? "")).toEqual(none);
  });
});

/** A copy is made of a file's bytes, and what the harsh host is harsh about no file meets. */
const byFile = describe.skipIf(isHarsh);

byFile("a copy by file", () => {
  test.each(["native formulas", "short native formulas", "values"] as const)("%s", async (mode) => {
    await sheetOfTexts();
    const copy = await rewriteFile(await bench.exportXlsx(), { mode, withList: true }, unwatched);
    expect(copy.stopped).toEqual([]);
    expect(heldInFile(await recalculate(copy.bytes), "Sheet1")).toEqual(none);
    await bench.importXlsx(copy.bytes);
    await bench.calculated();
    if (mode === "values") expect(heldIn("Sheet1")).toEqual(none);
    else expect(missed(texts, column("Sheet1", "A", 1))).toEqual([]);
  });
});

byFile("a file for one reader", () => {
  test.each(["values", "formulas"] as const)("%s", async (holds) => {
    await sheetOfTexts();
    const { bytes } = await readerFile(
      await bench.exportXlsx(),
      { pages: [{ sheet: "Sheet1" }], holds, drawings: [] },
      unwatched,
    );
    expect(heldInFile(await recalculate(bytes), "Sheet1")).toEqual(none);
    await bench.importXlsx(bytes);
    await bench.calculated();
    if (holds === "values") expect(heldIn("Sheet1")).toEqual(none);
    else expect(missed(texts, column("Sheet1", "A", 1))).toEqual([]);
  });
});

const { us } = sampleProperty;
const short = texts.filter((text) => text.length < 1000);
/** Some of each kind, since a zone of a bid is a great many formulas. */
const some = texts.filter((text, i) => i % 4 === 0 || text === longestText);

const hostileJob = (property: string): JobInput => ({
  ...us,
  property,
  zones: some.map((name) => ({ ...(us.zones[2] as JobInput["zones"][number]), name, typedArea: 100 })),
  outlines: some.slice(0, 8).map((zone) => ({ ...(us.outlines[0] as JobInput["outlines"][number]), zone })),
  seedLots: texts.map((name) => ({
    ...(us.seedLots[0] as JobInput["seedLots"][number]),
    name,
    lot: name,
    supplier: name,
  })),
  starters: texts.map((name) => ({
    ...(us.starters[0] as JobInput["starters"][number]),
    name,
    active: name,
  })),
  client: { ...us.client, name: property, company: property },
});

const rowsOf = (letter: string) => (sheet: string, from: unknown) => {
  for (let row = 1; row < 400; row++) if (bench.value(sheet, `${letter}${row}`) === from) return row;
  return -1;
};
const rowOf = rowsOf("A");

describe("a bid", () => {
  test("of these zones and materials", async () => {
    bench.reset();
    await writeBid(
      {
        system: "us",
        currency: "$",
        property: "",
        sample: false,
        job: hostileJob('=HYPERLINK("https://evil.test")'),
      },
      unwatched,
    );
    await bench.calculated();
    const quantities = rowOf("Quantities", "No.") + 1;
    const crew = rowsOf("B")("Crew", "Zone") + 1;
    const watering = rowOf("Watering", "Zone") + 1;
    const seed = rowOf("Materials", "Seed lots") + 2;
    const starter = rowsOf("B")("Materials", "Grade on the bag") + 1;
    const held = () => ({
      site: missed(some, column("Site", "A", 8, some.length)),
      outlines: missed(
        some.slice(0, 8),
        some.slice(0, 8).map((_, i) => bench.value("Outlines", cellName(1 + 2 * i, 5))),
      ),
      quantities: missed(some, column("Quantities", "B", quantities, some.length)),
      crew: missed(some, column("Crew", "B", crew, some.length)),
      watering: missed(some, column("Watering", "A", watering, some.length)),
      seed: missed(texts, column("Materials", "A", seed)),
      lot: missed(texts, column("Materials", "C", seed)),
      supplier: missed(texts, column("Materials", "Q", seed)),
      starter: missed(texts, column("Materials", "A", starter)),
      active: missed(texts, column("Materials", "F", starter)),
    });
    expect(held()).toEqual(Object.fromEntries(Object.keys(held()).map((key) => [key, []])));
    const cells = await recalculate(await bench.exportXlsx());
    const file = {
      site: missed(some, inFile(cells, "Site", 0, 8, some.length)),
      outlines: missed(
        some.slice(0, 8),
        some.slice(0, 8).map((_, i) => cells.get("Outlines")?.[5]?.[1 + 2 * i]),
      ),
      quantities: missed(some, inFile(cells, "Quantities", 1, quantities, some.length)),
      crew: missed(some, inFile(cells, "Crew", 1, crew, some.length)),
      watering: missed(some, inFile(cells, "Watering", 0, watering, some.length)),
      seed: missed(texts, inFile(cells, "Materials", 0, seed)),
      supplier: missed(texts, inFile(cells, "Materials", 16, seed)),
    };
    expect(file).toEqual(Object.fromEntries(Object.keys(file).map((key) => [key, []])));
  });

  test.each(["12-14", "'x", "&D &P", longestText])(
    "of the property, client and company %.20s",
    async (property) => {
      bench.reset();
      const client = { ...us.client, name: property, company: property };
      const job = { ...us, property, client };
      await writeBid({ system: "us", currency: "$", property: "", sample: false, job }, unwatched);
      await bench.calculated();
      const order = rowOf("Order", "Client");
      const held = [
        ...bench
          .sheetNames()
          .slice(1)
          .map((sheet) => bench.value(sheet, "A1")),
        bench.value("Order", `D${order}`),
        bench.value("Order", `D${order + 1}`),
      ];
      expect(
        missed(
          held.map(() => property),
          held,
        ),
      ).toEqual([]);
      const header = await Excel.run(async (context) => {
        const { defaultForAllPages: heads } =
          context.workbook.worksheets.getItem("Site").pageLayout.headersFooters;
        heads.load("leftHeader");
        await context.sync();
        return heads.leftHeader;
      });
      expect(header.replaceAll("&&", "&")).toBe(property.slice(0, 100));
      expect(header.length).toBeLessThanOrEqual(200);
    },
  );
});

const ring = (i: number) => {
  const [x, y] = [-75 + i / 1000, 40] as const;
  return [
    [x, y],
    [x + 0.0002, y],
    [x + 0.0002, y + 0.0002],
    [x, y],
  ];
};
const escapeXml = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
const files: readonly (readonly [string, (names: readonly string[]) => string])[] = [
  [
    "a.geojson",
    (names) =>
      JSON.stringify({
        type: "FeatureCollection",
        features: names.map((name, i) => ({
          type: "Feature",
          properties: { name },
          geometry: { type: "Polygon", coordinates: [ring(i)] },
        })),
      }),
  ],
  [
    "a.kml",
    (names) =>
      `<kml><Document>${names
        .map((name, i) => {
          const corners = ring(i).map(([x, y]) => `${x},${y},0`);
          return `<Placemark><name>${escapeXml(name)}</name><Polygon><outerBoundaryIs><LinearRing><coordinates>${corners.join(" ")}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>`;
        })
        .join("")}</Document></kml>`,
  ],
  [
    "a.gpx",
    (names) =>
      `<gpx>${names
        .map((name, i) => {
          const points = ring(i).map(([x, y]) => `<trkpt lat="${y}" lon="${x}"/>`);
          return `<trk><name>${escapeXml(name)}</name><trkseg>${points.join("")}</trkseg></trk>`;
        })
        .join("")}</gpx>`,
  ],
];

const emptyBid = { system: "us", currency: "$", property: "", sample: false } as const;

/** A name stands in one line; one that is none is counted, and one that is there already is told apart. */
const namesInFile = [
  ...new Map(
    short
      .map((text) => text.replace(/[\p{C}\p{Z}\s]+/gu, " ").trim())
      .filter((text) => text !== "")
      .map((text) => [text.toLowerCase(), text]),
  ).values(),
];

describe("names of a map file", () => {
  // Each form is read by itself and written as the others are.
  test.each(isHarsh ? files.slice(0, 1) : files)("%s", async (file, make) => {
    const got: unknown[] = [];
    for (let from = 0; from < namesInFile.length; from += 8) {
      await openBid(bench, emptyBid);
      const names = namesInFile.slice(from, from + 8);
      await bringOutlines(file, make(names));
      got.push(...names.map((_, i) => bench.value("Outlines", cellName(1 + 2 * i, 5))));
    }
    expect(missed(namesInFile, got)).toEqual([]);
  });
});

describe("what is said of findings", () => {
  test("is listed as it was said", async () => {
    bench.reset();
    // Each writes all that was said before once more, so each host takes every other one.
    const said = short
      .map((text) => text.trim())
      .filter((text, i) => text !== "" && i % 2 === (isHarsh ? 1 : 0));
    const rows = said.flatMap((_, i): [string, string][] => [
      [`A${i + 2}`, `Zone ${i}`],
      [`C${i + 2}`, `=SWARD.SEED_WEIGHT(B${i + 2},7)`],
    ]);
    bench.setCells("Sheet1", { A1: "Zone", B1: "Area, ft²", C1: "Seed, lb", ...Object.fromEntries(rows) });
    await bench.calculated();
    const { findings } = await WorkbookChecks.start(unwatched, today);
    expect(findings.length).toBeGreaterThanOrEqual(said.length);
    for (const [i, text] of said.entries()) {
      const finding = findings[i];
      if (finding !== undefined) await setAside(finding, text, today);
    }
    const kept = await readSetAside();
    expect(
      missed(
        said,
        kept.map(({ reason }) => reason),
      ),
    ).toEqual([]);
    const sheet = await listChecks(findings, kept, today);
    const listed = column(sheet, "E", 1, 400);
    expect(said.filter((text) => !listed.includes(text))).toEqual([]);
    const cells = await recalculate(await bench.exportXlsx());
    const inList = inFile(cells, sheet, 4, 1, 400);
    expect(said.filter((text) => !inList.includes(text))).toEqual([]);
  });
});

describe("beside somebody's table", () => {
  test("the names in it stay, and what is worked out is a number", async () => {
    bench.reset();
    const rows = texts.flatMap((text, i): [string, string][] => [
      [`A${i + 2}`, `'${text}`],
      [`B${i + 2}`, "1000"],
      [`C${i + 2}`, "7"],
    ]);
    bench.setCells("Sheet1", {
      A1: "Zone",
      B1: "Area (ft2)",
      C1: "Seeding rate (lb/1000 ft2)",
      ...Object.fromEntries(rows),
    });
    const { headings } = await addAll(bench, "Sheet1", "B1");
    await bench.calculated();
    expect(missed(texts, column("Sheet1", "A", 2))).toEqual([]);
    expect(headings.map((_, i) => bench.value("Sheet1", cellName(3 + i, 0)))).toEqual(headings);
    expect(bench.value("Sheet1", "D2")).toBe(7);
  });
});

describe("a picture", () => {
  // One transparent pixel as PNG.
  const pixel =
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";
  test("tells a property of that name", async () => {
    await openBid(bench, emptyBid);
    const got: unknown[] = [];
    for (const text of some) {
      const size = { png: pixel, width: 10, height: 10 };
      await putDrawing({ drawing: "plan", sheet: "Crew" }, { ...size, title: text, description: text });
      await Excel.run(async (context) => {
        const { shapes } = context.workbook.worksheets.getItem("Crew");
        shapes.load("items/altTextDescription,items/altTextTitle");
        await context.sync();
        got.push(shapes.items[0]?.altTextTitle);
      });
    }
    expect(missed(some, got)).toEqual([]);
  });
});

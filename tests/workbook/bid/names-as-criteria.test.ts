/** Zones and materials under names that look-ups of other forms read as patterns or comparisons: each is itself alone. */
import { beforeAll, describe, expect, test } from "vitest";
import { cellName } from "../../../src/workbench/host/area";
import type { Workbench } from "../../../src/workbench/node";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { chosen } from "../../../src/workbook/bid/sheets/chosen";
import { outlines } from "../../../src/workbook/bid/sheets/outlines";
import { purchases } from "../../../src/workbook/bid/sheets/purchases";
import { zones } from "../../../src/workbook/bid/sheets/zones";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { handOver } from "../../../src/workbook/handover/hand-over";
import type { Cell } from "../../support/bid-cells";
import { BidCells, offset } from "../../support/bid-cells";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { recalculateInIronCalc } from "../../support/ironcalc";
import { recalculate, valueIn } from "../../support/libreoffice";

let bench: Workbench;
let bid: BidCells;
beforeAll(async () => {
  bench = await openWorkbench();
  bid = new BidCells(bench);
});

const long = "A long name of a lawn ".repeat(14);

interface Kind {
  readonly kind: string;
  /** Names that no look-up may take for each other. */
  readonly names: readonly string[];
  readonly system: "us" | "metric";
}

const kinds: readonly Kind[] = [
  {
    kind: "patterns",
    system: "us",
    names: ["Lawn*", "Lawn 1", "Lawn 22", "Bed ?", "Bed x", "*", "A~B", "AB", "~*"],
  },
  {
    kind: "comparisons",
    system: "metric",
    names: [">1 acre", "<>", "<>x", "=x", "x", ">=", "=", "<5", "4"],
  },
  {
    kind: "figures, days and words of the sheets",
    system: "us",
    names: ["007", "7", "12-14", "TRUE", "3E5", "Zone", "Name", "Insert zones above this line", "All zones"],
  },
  {
    kind: "quotes, blanks and great length",
    system: "metric",
    names: ['say "when"', '""', "Lawn ", "Lawn", " Lawn", long, `${long}too`, "O'Brien", "Größe"],
  },
];

/** Zones of which a part is left out. */
const withPart = 3;

/** Zone n is drawn as an outline of n by 10; from the first of them a part of n by 1 is left out. */
const areaOf = (i: number): number => (i + 1) * 10 - (i < withPart ? i + 1 : 0);

function jobOf({ names, system }: Kind): JobInput {
  const sample = sampleProperty[system];
  const [zone, lot, peat, starter] = [
    sample.zones[0],
    sample.seedLots[0],
    sample.topdressings[0],
    sample.starters[0],
  ];
  if (zone === undefined || lot === undefined || peat === undefined || starter === undefined)
    throw new Error("the sample has no zone or material");
  const drawn = (name: string, counts: "area" | "left out", width: number, height: number) => ({
    zone: name,
    method: "corners" as const,
    counts,
    points: [
      [0, 0],
      [width, 0],
      [width, height],
      [0, height],
    ],
  });
  return {
    ...sample,
    // No grass on the label: the rates are typed.
    zones: names.map((name) => ({ ...zone, name, measured: "outline", insideCorners: 0 })),
    outlines: [
      ...names.map((name, i) => drawn(name, "area", i + 1, 10)),
      ...names.slice(0, withPart).map((name, i) => drawn(name, "left out", i + 1, 1)),
    ],
    // Lot i has i + 1 tenths of pure seed, of which all germinates, in packs of i + 1.
    seedLots: names.map((name, i) => ({
      ...lot,
      name,
      purity: (i + 1) / 10,
      germination: 1,
      packs: [{ size: i + 1, price: 10 * (i + 1) }],
    })),
    topdressings: names.map((name, i) => ({ ...peat, name, screenLoss: (i + 1) / 100 })),
    starters: names.map((name, i) => ({ ...starter, name, grade: `10-${i + 1}-10`, active: name })),
  };
}

const open = async (kind: Kind): Promise<void> => {
  bench.reset();
  await writeBid(
    { system: kind.system, currency: "$", property: "", sample: false, job: jobOf(kind) },
    unwatched,
  );
  await bench.calculated();
};

const valueOf = ({ sheet, address }: Cell) => bench.value(sheet, address);
/** What is said of an outline stands beside the name of its zone. */
const saidOfOutline = (outline: number) => valueOf(offset(bid.at(outlines, "zone", outline), { right: 1 }));
const saidOf = (figure: "seedLot" | "starter" | "topdressing") => valueOf(bid.note(chosen, figure));

/** Chooses a seed lot, a starter and a topdressing of one name, in cells that hold text. */
const choose = async (name: string): Promise<void> => {
  await Excel.run(async (context) => {
    for (const figure of ["seedLot", "starter", "topdressing"] as const) {
      const { sheet, address } = bid.at(chosen, figure);
      context.workbook.worksheets.getItem(sheet).getRange(address).values = [[name]];
    }
    await context.sync();
  });
  await bench.calculated();
};

/** Every cell of the workbook as it would be typed. */
const everyCell = () =>
  Excel.run(async (context) => {
    const { worksheets } = context.workbook;
    worksheets.load("items/name");
    await context.sync();
    const ranges = worksheets.items.map((sheet) => {
      const range = sheet.getUsedRange();
      range.load("formulas,values,rowIndex,columnIndex");
      return { sheet: sheet.name, range };
    });
    await context.sync();
    return ranges.flatMap(({ sheet, range }) =>
      (range.formulas as unknown[][]).flatMap((row, i) =>
        row.flatMap((content, j) => {
          if (content === "") return [];
          const address = cellName(range.columnIndex + j, range.rowIndex + i);
          const isText = content === (range.values as unknown[][])[i]?.[j] && typeof content === "string";
          return [{ sheet, address, content: content as string | number | boolean, isText }];
        }),
      ),
    );
  });

describe.each(kinds)("names like $kind", (kind) => {
  const { names } = kind;
  const areas = names.map((_, i) => areaOf(i));

  beforeAll(() => open(kind));

  test("take each the area of its own outlines, and no other's", () => {
    expect(names.map((_, i) => bid.value(zones, "area", i))).toEqual(areas);
    expect(names.map((_, i) => bid.value(zones, "missing", i))).toEqual(names.map(() => ""));
    expect(names.map((_, i) => saidOfOutline(i))).toEqual(names.map(() => ""));
  });

  test("find each its own line of Materials", async () => {
    for (const [i, name] of names.entries()) {
      await choose(name);
      const found = (["seedLot", "starter", "topdressing"] as const).map((figure) => [
        bid.value(chosen, figure),
        saidOf(figure),
      ]);
      expect(found, name).toEqual(found.map(() => [name, ""]));
      expect(bid.value(chosen, "pureLiveSeed"), name).toBe((i + 1) / 10);
      expect(bid.value(chosen, "screenLoss"), name).toBe((i + 1) / 100);
      expect(bid.value(purchases, "size1", "seed"), name).toBe(i + 1);
    }
  });

  test("do so handed over, in two other programs", async () => {
    const at = names.length - 2;
    const name = names[at] ?? "";
    await choose(name);
    const sheets = ["Site", "Outlines", "Materials", "Quantities", "Order"];
    const { stopped } = await handOver(sheets, unwatched, "short native formulas");
    expect(stopped).toEqual([]);
    await bench.calculated();
    expect(names.map((_, i) => bid.value(zones, "area", i))).toEqual(areas);
    const office = await recalculate(await bench.exportXlsx());
    const safe = (await everyCell()).map(({ isText, ...cell }) =>
      // The other engine is given formulas by their equals sign.
      isText && typeof cell.content === "string" && cell.content.startsWith("=")
        ? { ...cell, content: `="${cell.content.replaceAll('"', '""')}"` }
        : cell,
    );
    const iron = recalculateInIronCalc(safe);
    for (const cells of [office, iron]) {
      expect(names.map((_, i) => valueIn(cells, bid.at(zones, "area", i)))).toEqual(areas);
      expect(valueIn(cells, bid.at(chosen, "seedLot"))).toBe(name);
      expect(valueIn(cells, bid.at(chosen, "pureLiveSeed"))).toBe((at + 1) / 10);
      expect(valueIn(cells, bid.at(purchases, "size1", "seed"))).toBe(at + 1);
    }
  });
});

describe("one name twice", () => {
  test.each([
    ["the same", "Lawn", "Lawn"],
    ["but for capitals", "Back lawn", "BACK LAWN"],
  ])("%s: it is told on Site, and the area counted once", async (_, one, other) => {
    bench.reset();
    const { us } = sampleProperty;
    const [zone, outline] = [us.zones[0], us.outlines[0]];
    if (zone === undefined || outline === undefined) throw new Error("the sample has no zone");
    const job: JobInput = {
      ...us,
      zones: [one, other, "Drive"].map((name) => ({ ...zone, name })),
      outlines: [{ ...outline, zone: one }],
    };
    await writeBid({ system: "us", currency: "$", property: "", sample: false, job }, unwatched);
    await bench.calculated();
    const told = [0, 1, 2].map((zone) => bid.value(zones, "missing", zone));
    expect(told).toEqual([
      "another zone has this name: rename one",
      "another zone has this name: rename one",
      "measure the zone",
    ]);
    const areas = [0, 1, 2, "all"].map((zone) => bid.number(zones, "area", zone));
    // The front lawn of the sample: 64 by 52 less a corner of 24 by 14, cut square: 64 x 38 + (64 + 40) / 2 x 14.
    expect(areas.reduce((sum, area) => sum + area, 0) / 2).toBe(64 * 38 + ((64 + 40) / 2) * 14);
  });

  test("a material that is twice on Materials is told where it is chosen", async () => {
    bench.reset();
    const { us } = sampleProperty;
    const [lot] = us.seedLots;
    if (lot === undefined) throw new Error("the sample has no lot");
    const job = { ...us, seedLots: [lot, { ...lot, name: lot.name.toUpperCase() }] };
    await writeBid({ system: "us", currency: "$", property: "", sample: false, job }, unwatched);
    await bench.calculated();
    expect(saidOf("seedLot")).toBe("more than one on Materials has this name: rename the others");
    bid.set(chosen, "seedLot", "nothing of that name");
    await bench.calculated();
    expect(saidOf("seedLot")).toBe("not on Materials: choose again");
    expect(bid.value(chosen, "pureLiveSeed")).toBe("#N/A");
  });

  test("an outline of a zone that Site lacks is told", async () => {
    bench.reset();
    await writeBid({ system: "us", currency: "$", property: "", sample: true }, unwatched);
    bid.fill(outlines, 0, { zone: "Front*" });
    await bench.calculated();
    expect(saidOfOutline(0)).toBe("not on Site");
    expect(bid.value(zones, "area", 0)).toBe(0);
  });
});

/**
 * Sheets of an invented estimator who writes our functions into sheets of her own: a list of zones, what she copied from
 * a label, a diary of applications, an order. The label figures belong to no product.
 */
import type { Workbench } from "../../../src/workbench/node";

const zones: readonly (readonly string[])[] = [
  ["North lawn", "new", "tall fescue", "3000", "230", "7"],
  ["Court", "new", "tall fescue", "900", "130", "7"],
  ["Orchard", "overseed", "tall fescue", "5200", "310", "4"],
  ["Slope", "new", "tall fescue", "2100", "200", "7"],
  ["Terrace", "overseed", "tall fescue", "1500", "160", "4"],
];

function lawns(): Record<string, string> {
  const heads = [
    "Zone",
    "Purpose",
    "Grass",
    "Area, ft²",
    "Perimeter, ft",
    "Seeding rate, lb per 1000 ft²",
    "Strip, ft²",
    "Seed, lb",
    "Starter of the zone, lb",
    "Spray, fl oz",
    "Peat, ft³",
  ];
  const cells: Record<string, string> = {};
  const letter = (column: number) => String.fromCharCode(65 + column);
  heads.forEach((head, column) => (cells[`${letter(column)}1`] = head));
  zones.forEach((zone, i) => {
    const row = i + 2;
    zone.forEach((content, column) => (cells[`${letter(column)}${row}`] = content));
    cells[`G${row}`] = `=SWARD.EDGE_AREA(E${row},22,4)`;
    cells[`H${row}`] = `=SWARD.SEED_WEIGHT(D${row},F${row},Tag!$F$2)`;
    cells[`I${row}`] = `=SWARD.FERTILISER_WEIGHT(D${row},1,SWARD.GRADE("10-18-22","P2O5"))`;
    cells[`J${row}`] = `=SWARD.LABEL_DOSE(D${row},Label!$B$1)`;
    cells[`K${row}`] = `=SWARD.TOPDRESS_VOLUME(D${row},Buying!$B$12)`;
  });
  cells["H7"] = "=SUM(H2:H6)";
  return cells;
}

const label: Record<string, string> = {
  A1: "Label rate used",
  B1: "4",
  A2: "Lowest rate",
  B2: "3",
  A3: "Highest rate",
  B3: "5",
  A4: "Least spray volume",
  B4: "40",
  A5: "Spray volume",
  B5: "43",
  A6: "Grasses on the label",
  B6: "tall fescue, perennial ryegrass",
  A7: "Season limit",
  B7: "0.35",
  A8: "On the starter",
  B8: "=SWARD.GRANULE_ACTIVE_RATE(5,0.0008)",
  A9: "Sprayed",
  B9: "=SWARD.ACTIVE_RATE(B1,4)",
  A10: "In spring",
  B10: "0",
  A11: "Room left",
  B11: "=SWARD.SEASON_ROOM(B7,B8,B9,B10)",
  A13: "Tank loads",
  B13: "=SWARD.TANK_LOADS(12000,B1,B5,20)",
};

const tag: Record<string, string> = {
  ...{ A1: "Name", B1: "Pure seed", C1: "Inert matter", D1: "Weed seed", E1: "Germination", F1: "Live" },
  ...{ G1: "Tested on" },
  ...{ A2: "Fescue blend", B2: "0.98", C2: "0.015", D2: "0.005", E2: "0.9", G2: "46100" },
  F2: "=SWARD.PURE_LIVE_SEED(B2,E2)",
};

const diary: Record<string, string> = {
  ...{ A1: "Date applied", B1: "Product", C1: "Zone", D1: "Repeat interval" },
  ...{ A2: "46200", B2: "Spray of the diary", C2: "Court", D2: "28" },
  ...{ A3: "46240", B3: "Spray of the diary", C3: "Court", D3: "28" },
  ...{ A4: "46241", B4: "Spray of the diary", C4: "Slope", D4: "28" },
};

const order: Record<string, string> = {
  ...{ A1: "Material", B1: "Need", C1: "Pack size", D1: "Packs ordered", E1: "Packs reckoned" },
  ...{ A2: "Fescue blend", B2: "72", C2: "25", D2: "3", E2: "=SWARD.PACKS(B2,C2)" },
  ...{ A3: "Starter", B3: "71", C3: "40", D3: "2", E3: "=SWARD.PACKS(B3,C3,0)" },
  ...{ A6: "Cost", B6: "1400", A7: "Margin", B7: "0.35", A8: "Price", B8: "=SWARD.MARGIN_PRICE(B6,B7)" },
  ...{ A11: "Topdressing material", B11: "Screened compost" },
  ...{ A12: "Depth", B12: "0.2" },
  ...{ A13: "Screen loss", B13: "0.2" },
  ...{ A14: "Bags", B14: "=SWARD.TOPDRESS_BAGS(SUM(Lawns!D2:D6),B12,3,B13)" },
  ...{ A15: "Past jobs", B15: "=SWARD.SCREEN_LOSS(E11:E13,F11:F13)" },
  ...{ E11: "60", F11: "12", E12: "80", F12: "17", E13: "40", F13: "8" },
};

/** A bed of four corners and one offset line, both measured from a fence. */
const corners: Record<string, string> = {
  ...{ A1: "x", B1: "y", A2: "12", B2: "5", A3: "40", B3: "5", A4: "40", B4: "25", A5: "12", B5: "25" },
  ...{ D1: "Bed", E1: "=SWARD.POLYGON_AREA(A2:B5)" },
  ...{ A8: "Offsets", B8: "4", C8: "6", D8: "5" },
  ...{ A9: "Border", B9: "=SWARD.OFFSET_AREA(B8:D8,10)" },
};

const ownSheets: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  Label: label,
  Tag: tag,
  Diary: diary,
  Buying: order,
  Lawns: lawns(),
  Corners: corners,
};

export async function writeOwnSheets(bench: Workbench): Promise<void> {
  await Excel.run(async (context) => {
    for (const name of Object.keys(ownSheets)) context.workbook.worksheets.add(name);
    await context.sync();
  });
  // What is read stands before what reads it.
  for (const [name, cells] of Object.entries(ownSheets)) bench.setCells(name, cells);
}

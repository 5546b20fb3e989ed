import fc from "fast-check";
import { expect, test } from "vitest";
import { isDrawing } from "../../../src/workbook/drawings/drawing";
import { drawPlan } from "../../../src/workbook/drawings/plan";
import { layOutPlan } from "../../../src/workbook/drawings/plan-layout";
import type { BidFigures, ZoneFigures } from "../../../src/workbook/drawings/read-bid";
import { paperInk, themeInk } from "../../../src/workbook/drawings/svg";
import { atOnce } from "../../../src/workbook/host/progress";
import { bidOf, held, outline, zone } from "./figures";
import { readSvg, ringsOf, shoelace, textsOf } from "./reading-svg";

const onPaper = { width: 720, ink: paperInk, id: "plan" };
const inPane = { width: 288, ink: themeInk, id: "plan" };

const drawn = (bid: BidFigures, canvas = onPaper) => {
  const drawing = atOnce(drawPlan(bid, canvas));
  if (!isDrawing(drawing)) throw new Error(drawing.missing);
  return { drawing, svg: readSvg(drawing.svg) };
};

/** Area of a zone as drawn, by the scale bar that the reader has: its path and its text. */
function areasDrawn(bid: BidFigures, canvas = onPaper): readonly number[] {
  const { svg } = drawn(bid, canvas);
  const [bar = []] = ringsOf(svg.find(({ attributes }) => attributes.id === "plan-bar")?.attributes.d ?? "");
  const length = Number(
    /^([\d.,]+) (ft|m)$/.exec(textsOf(svg).find((text) => /^[\d.,]+ (ft|m)$/.test(text)) ?? "")?.[1],
  );
  const scale = ((bar[2]?.[0] ?? 0) - (bar[1]?.[0] ?? 0)) / length;
  return held(bid.site).zones.map((_, i) => {
    const path = svg.find(({ attributes }) => attributes.id === `plan-zone-${i + 1}`)?.attributes.d ?? "";
    const [outer = 0, ...holes] = ringsOf(path).map(shoelace);
    return holes.reduce((area, hole) => area - hole, outer) / scale ** 2;
  });
}

const surveyed = bidOf({
  site: {
    zones: [
      zone("Corners", "outline", 64 * 52 - (24 * 14) / 2 - 10 * 10),
      zone("Offsets", "outline", 10 * ((3.15 + 4.3) / 2 + 4.3 + 8.2 + 5.6 + 6.85 + 7.6 + 4.2 + 5.6)),
      zone("Radii", "outline", (Math.PI * (10 ** 2 + 12 ** 2 + 11 ** 2 + 9 ** 2)) / 4),
      // A degree of latitude at 42 degrees north is 364,361 ft and one of longitude 271,568 ft (NGA's tables of WGS84).
      zone("Coordinates", "outline", 0.0003 * 364_361 * 0.0003 * 271_568),
    ],
    outlines: [
      outline("Corners", "corners", [
        [0, 0],
        [64, 0],
        [64, 38],
        [40, 52],
        [0, 52],
      ]),
      outline(
        "Corners",
        "corners",
        [
          [10, 10],
          [20, 10],
          [20, 20],
          [10, 20],
        ],
        { isLeftOut: true },
      ),
      outline("Offsets", "offsets", [[3.15], [4.3], [8.2], [5.6], [6.85], [7.6], [4.2], [5.6], [4.3]], {
        interval: 10,
      }),
      outline("Radii", "radii", [[10], [12], [11], [9]]),
      outline("Coordinates", "coordinates", [
        [42, -93],
        [42, -92.9997],
        [42.0003, -92.9997],
        [42.0003, -93],
      ]),
    ],
    dropWidth: 22,
    swath: 5,
  },
});

test("surveyed zones are drawn at the scale of the bar, whichever way they were measured", () => {
  areasDrawn(surveyed).forEach((area, i) => {
    const expected = held(surveyed.site).zones[i]?.area ?? Number.NaN;
    // Half a per cent: two decimals of a pixel, and a plane for a piece of the ellipsoid.
    expect(Math.abs(area / expected - 1)).toBeLessThan(0.005);
  });
});

test("north is up for coordinates: the northernmost corner stands highest, the westernmost leftmost", () => {
  const { svg } = drawn(surveyed);
  const [ring = []] = ringsOf(
    svg.find(({ attributes }) => attributes.id === "plan-zone-4")?.attributes.d ?? "",
  );
  const [southWest, southEast, , northWest] = ring;
  expect(northWest?.[1]).toBeLessThan(southWest?.[1] ?? 0);
  expect(southWest?.[0]).toBeLessThan(southEast?.[0] ?? 0);
  expect(textsOf(svg)).toContain("N");
});

test("corners of one survey keep their places; corner sets that would lie over each other are parted", () => {
  const square = (x: number) => [
    [x, 0],
    [x + 10, 0],
    [x + 10, 10],
    [x, 10],
  ];
  const two = (x: number) => {
    const site = {
      zones: [zone("A", "outline", 100), zone("B", "outline", 100)],
      outlines: [outline("A", "corners", square(0)), outline("B", "corners", square(x))],
      dropWidth: 0,
      swath: 0,
    };
    return atOnce(layOutPlan(site, "us", 400, 300));
  };
  // Side by side along a common edge, and 4 ft into each other.
  expect(two(10)?.boxes).toHaveLength(1);
  expect(two(6)?.boxes).toHaveLength(2);
});

const feet = fc.double({ min: 2, max: 300, noNaN: true });
/** Zones with the area that each way of measuring gives, reckoned here. */
const anyZone = fc.oneof(
  fc.tuple(feet, feet).map(([length, width]) => zone("R", "rectangle", length * width, { length, width })),
  feet.map((length) => zone("C", "circle", (Math.PI * length ** 2) / 4, { length })),
  fc
    .tuple(feet, feet)
    .map(([length, width]) => zone("T", "triangle", (length * width) / 2, { length, width })),
  fc
    .tuple(
      fc.double({ min: 60, max: 500, noNaN: true }),
      fc.integer({ min: 12, max: 60 }),
      fc.integer({ min: 0, max: 6 }),
    )
    .map(([length, stripWidth, insideCorners]) =>
      zone("S", "strip", length * (stripWidth / 12) - insideCorners * (stripWidth / 12) ** 2, {
        length,
        stripWidth,
        insideCorners,
      }),
    ),
  fc.double({ min: 4, max: 40_000, noNaN: true }).map((area) => zone("Q", "typed", area)),
);
const anySite = fc
  .array(anyZone, { minLength: 1, maxLength: 14 })
  .map((zones): readonly ZoneFigures[] => zones.map((one, i) => ({ ...one, name: `${one.name}${i}` })));

test("blocks never overlap, keep within the page, hold their area, and every zone is there once", () => {
  fc.assert(
    fc.property(anySite, fc.constantFrom(240, 288, 720), (zones, width) => {
      const layout = atOnce(layOutPlan({ zones, outlines: [], dropWidth: 22, swath: 5 }, "us", width, 300));
      if (layout === undefined) throw new Error("Nothing was laid out.");
      expect(layout.zones.map((placed) => placed.zone.name).sort()).toEqual(
        zones.map(({ name }) => name).sort(),
      );
      layout.boxes.forEach((one, i) => {
        expect(one.left).toBeGreaterThanOrEqual(0);
        expect(one.right).toBeLessThanOrEqual(width);
        for (const other of layout.boxes.slice(i + 1)) {
          const apart =
            one.right <= other.left ||
            other.right <= one.left ||
            one.bottom <= other.top ||
            other.bottom <= one.top;
          expect(apart).toBe(true);
        }
      });
      for (const { zone: one, outer, holes } of layout.zones) {
        const sum = (rings: typeof outer) => rings.reduce((area, ring) => area + shoelace(ring), 0);
        expect((sum(outer) - sum(holes)) / layout.scale ** 2 / one.area).toBeCloseTo(1, 2);
      }
    }),
    { numRuns: 150 },
  );
});

test("ground left out is typed, so the drawing holds it and says so", () => {
  const bid = bidOf({
    site: {
      zones: [zone("Lawn", "rectangle", 1100, { length: 40, width: 30, leftOut: 100 })],
      outlines: [],
      dropWidth: 0,
      swath: 5,
    },
  });
  expect(areasDrawn(bid)[0]).toBeCloseTo(1200, -1);
  expect(textsOf(drawn(bid).svg).join(" ")).toContain("100 ft² in 1");
});

test("a name with marks of XML is text and nothing else, in the picture and for a screen reader", () => {
  const name = '<b>&"\u0007';
  const bid = bidOf({
    property: name,
    site: { zones: [zone(name, "typed", 4000)], outlines: [], dropWidth: 22, swath: 5 },
  });
  for (const canvas of [onPaper, inPane]) {
    const { svg } = drawn(bid, canvas);
    expect(svg.filter((element) => element.name === "b")).toEqual([]);
    expect(svg.find((element) => element.name === "title")?.text).toBe('Plan of <b>&"');
    expect(textsOf(svg)).toContain('1 <b>&"');
  }
});

test("in metric too: a strip in centimetres, lengths in metres", () => {
  const bid = bidOf({
    system: "metric",
    site: {
      zones: [
        zone("Strip", "strip", 55 * 0.9 - 2 * 0.9 ** 2, { length: 55, stripWidth: 90, insideCorners: 2 }),
      ],
      outlines: [],
      dropWidth: 56,
      swath: 1.5,
    },
  });
  expect(areasDrawn(bid)[0]).toBeCloseTo(55 * 0.9 - 2 * 0.9 ** 2, 0);
  expect(drawn(bid).drawing.table.heads).toContain("Area, m²");
});

test("zones without an area are named, and a site of none is a sentence", () => {
  const site = {
    zones: [zone("Lawn", "typed", 900), zone("Yard", "rectangle", 0)],
    outlines: [],
    dropWidth: 0,
    swath: 0,
  };
  const { drawing } = drawn(bidOf({ site }), inPane);
  expect(drawing.description).toContain("Not measured yet: Yard.");
  expect(drawing.table.rows.map(([name]) => name)).toEqual(["1 Lawn", "Yard"]);
  expect(atOnce(drawPlan(bidOf(), inPane))).toEqual({
    missing: expect.stringMatching(/^No zone has an area yet: .+\.$/) as string,
  });
});

const squareAt = (x: number, side: number) => [
  [x, 0],
  [x + side, 0],
  [x + side, side],
  [x, side],
];
const degrees = (ring: readonly (readonly number[])[]) =>
  ring.map(([x = 0, y = 0]) => [42 + y / 364_361, -93 + x / 271_568]);

test("of many zones that share ground a few are told, and that there are more", () => {
  const rings = Array.from({ length: 60 }, (_, i) => degrees(squareAt(i, 100)));
  const bid = bidOf({
    site: {
      zones: rings.map((_, i) => zone(`Z${i}`, "outline", 10_000)),
      outlines: rings.map((points, i) => outline(`Z${i}`, "coordinates", points)),
      dropWidth: 22,
      swath: 5,
    },
  });
  const { notes } = atOnce(layOutPlan(held(bid.site), "us", 720, 440)) ?? { notes: [] };
  expect(notes.filter((note) => note.includes("share ground"))).toEqual([
    ...[1, 2, 3, 4, 5].map((i) => `Z0 and Z${i} share ground: some of it is counted twice.`),
    "More zones share ground with each other.",
  ]);
});

test("a ragged outline of very many corners is drawn in many pieces, and without passes", () => {
  const teeth = 20_000;
  const zigzag = Array.from({ length: teeth }, (_, i) => [(i * 700) / teeth, (i % 2) * 300]);
  const site = {
    zones: [zone("Ragged", "outline", 105_000)],
    outlines: [outline("Ragged", "corners", zigzag)],
    dropWidth: 22,
    swath: 5,
  };
  const work = drawPlan(bidOf({ site }), onPaper);
  let pieces = 0;
  let drawing: unknown;
  for (let done: boolean | undefined = false; done !== true; pieces++) {
    const piece = work.next();
    done = piece.done;
    drawing = piece.value;
  }
  // Sides are held against a level line many times, each time in a piece of its own.
  expect(pieces).toBeGreaterThan(30);
  expect(JSON.stringify(drawing)).not.toContain("Lines are passes");
  // Twice the corners in numbers of up to fifteen letters; a pass for each tooth and line would be fifty times as much.
  expect(JSON.stringify(drawing).length).toBeLessThan(2 * teeth * 15);
});

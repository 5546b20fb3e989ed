/** Formulas, headings and map files as nobody writes them, made from a seed: long, deep, and full of what patterns stumble on. */
import { catalogue } from "../../src/engine/catalogue";

/** Numbers from 0 to under 1, the same for the same seed (Numerical Recipes' linear congruence). */
export function drawn(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

type Draw = () => number;

const whole = (draw: Draw, most: number): number => Math.floor(draw() * most);
const one = <T>(draw: Draw, list: readonly T[]): T => list[whole(draw, list.length)] as T;
const list = (count: number, text: (i: number) => string): string[] =>
  Array.from({ length: count }, (_one, i) => text(i));

/** The same over and over, the parts of texts that patterns run back and forth over. */
const runs = [
  " ",
  "\t",
  "\u00a0",
  "_",
  ",",
  ", ",
  "(",
  "((",
  "[",
  ")",
  "'",
  '"',
  '""',
  "''",
  "/",
  " / ",
  "-",
  "- ",
  ".",
  ":",
  ";",
  "1,",
  "1.",
  "0",
  "9",
  "%",
  "x",
  "xy ",
  "in ",
  "lb ",
  " per ",
  "a(",
  "{",
  "}",
  "$",
  "\n",
  "é",
  "\u0301",
  "#",
];
const run = (draw: Draw, most: number): string => {
  const text = one(draw, runs);
  return text.repeat(1 + whole(draw, Math.max(1, most / text.length)));
};

const words = [
  "Area",
  "Rate",
  "Seed",
  "Lot",
  "Zone",
  "lb",
  "sq ft",
  "per 1000",
  "kg/ha",
  "in",
  "%",
  "Need",
  "Pack",
  "(lb)",
  "[m2]",
  "Pure live seed",
  "1,000",
  "gal",
];

export function strangeHeading(draw: Draw, most: number): string {
  const parts = list(1 + whole(draw, 5), () => (draw() < 0.5 ? one(draw, words) : run(draw, most / 3)));
  return parts.join(one(draw, ["", " ", ",", " ("])).slice(0, most);
}

const references = [
  "A1",
  "$B$2",
  "A1:B20",
  "A:A",
  "1:1",
  "A1:XFD1048576",
  "Z:AB",
  "C3:C1048576",
  "Need",
  "'Big lawn'!A1:B9",
  "[1]Zones!A1:B4",
  "Zones[Area]",
  "A1:A3 A2:A9",
  "(A1,B2)",
  "A1:INDEX(B1:B20,COUNT(A1:A20))",
  "OFFSET(A1,0,0,5,2)",
  "#REF!",
  "A1#",
];
const literals = [
  "1",
  "0",
  "-7",
  "1E+300",
  "1e-300",
  "85%",
  '"metric"',
  '"us"',
  '"simpson"',
  '"Tall fescue"',
  "TRUE",
  '""',
  "",
  "{1,2;3,4}",
  "0.1+0.2",
  '"SEED_WEIGHT"',
  '"PACKS"',
];
const ids = catalogue.map(({ id }) => id);

/** Something that may stand as an argument, so many levels deep at the most. */
function argument(draw: Draw, depth: number, room: number): string {
  const kind = draw();
  if (depth <= 0 || room < 20 || kind < 0.3) return one(draw, draw() < 0.6 ? references : literals);
  if (kind < 0.34)
    return `{${list(1 + whole(draw, room / 4), (i) => String(i % 97)).join(draw() < 0.5 ? ";" : ",")}}`;
  if (kind < 0.38)
    return list(1 + whole(draw, room / 4), () => "A1").join(
      one(draw, ["+", "-", "*-", "&", "^", "=", " ", ","]),
    );
  if (kind < 0.42)
    return `${"(".repeat(1 + whole(draw, room / 3))}A1${")".repeat(1 + whole(draw, room / 3))}`;
  if (kind < 0.45) return one(draw, ["-", "+", "--", "%"]).repeat(1 + whole(draw, room / 2)) + "A1";
  if (kind < 0.48) return run(draw, room);
  const name =
    draw() < 0.75
      ? `SWARD.${one(draw, ids)}`
      : one(draw, ["SUM", "MAX", "IF", "ROUND", "INDEX", "LET", "CHOOSE", "SWARD.NOTHING"]);
  const count = 1 + whole(draw, draw() < 0.1 ? 60 : 5);
  return `${name}(${list(count, () => argument(draw, depth - 1, room / count)).join(",")})`;
}

/** One function round the other, which is what grows fastest. */
function nested(draw: Draw, most: number): string {
  const name = `SWARD.${one(draw, ids)}`;
  const after = list(1 + whole(draw, 4), () => one(draw, draw() < 0.7 ? references : literals)).join(",");
  const levels = Math.min(1 + whole(draw, 120), Math.floor(most / (name.length + after.length + 3)));
  return `${`${name}(`.repeat(levels)}A1${`,${after})`.repeat(levels)}`;
}

export function strangeFormula(draw: Draw, most: number): string {
  const text =
    draw() < 0.35
      ? nested(draw, most)
      : `SWARD.${one(draw, ids)}(${list(1 + whole(draw, 6), () => argument(draw, 6, most / 3)).join(",")})`;
  const sum = draw() < 0.2 ? list(1 + whole(draw, 40), () => text.slice(0, 200)).join("+") : text;
  // Now and then cut short, or with something in it that belongs nowhere.
  const at = whole(draw, sum.length);
  const broken =
    draw() < 0.15
      ? sum.slice(0, at)
      : draw() < 0.15
        ? sum.slice(0, at) + run(draw, most / 4) + sum.slice(at)
        : sum;
  return `=${broken}`.slice(0, most);
}

const position = (i: number, count: number, stretch = 1): [number, number] => [
  42 + 0.001 * stretch * Math.sin((2 * Math.PI * i) / count),
  -93 + 0.001 * Math.cos((2 * Math.PI * i) / count),
];

type MapFile = (draw: Draw, most: number) => string;

const polygon = (rings: string): string =>
  `{"type":"Feature","properties":{"name":"Lawn"},"geometry":{"type":"Polygon","coordinates":${rings}}}`;
const collection = (features: readonly string[]): string =>
  `{"type":"FeatureCollection","features":[${features.join(",")}]}`;
const kml = (inside: string): string =>
  `<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document>${inside}</Document></kml>`;
const gpx = (inside: string): string => `<gpx version="1.1">${inside}</gpx>`;
const placemark = (coordinates: string, name = "Lawn"): string =>
  `<Placemark><name>${name}</name><Polygon><outerBoundaryIs><LinearRing><coordinates>${coordinates}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>`;

/** Files by what is strange about them, each as large as it may be. */
export const strangeMapFiles: Readonly<Record<string, MapFile>> = {
  "one outline of very many points": (draw, most) => {
    const count = 3 + whole(draw, most / 40);
    return polygon(`[[${list(count, (i) => `[${position(i, count).reverse().join(",")}]`).join(",")}]]`);
  },
  "a zigzag that no thinning shortens": (draw, most) => {
    const count = 10 + whole(draw, most / 30);
    return polygon(
      `[[${list(count, (i) => `[${-93 + i * 1e-6},${42 + (i % 2) * 0.01 * draw()}]`).join(",")}]]`,
    );
  },
  "very many outlines of one name": (_draw, most) =>
    collection(
      list(Math.min(499, Math.floor(most / 200)), (i) =>
        polygon(`[[[-93,${42 + i / 1e4}],[-92.9,${42 + i / 1e4}],[-92.95,${42.1 + i / 1e4}]]]`),
      ),
    ),
  "brackets that never close": (_draw, most) => `{"type":"Polygon","coordinates":${"[".repeat(most)}`,
  "brackets that close again": (_draw, most) =>
    `{"type":"Polygon","coordinates":${"[".repeat(most / 2)}${"]".repeat(most / 2)}}`,
  "very many empty objects": (_draw, most) =>
    `{"type":"FeatureCollection","features":[${"{},".repeat(most / 3)}{}]}`,
  "very many empty rings": (_draw, most) => polygon(`[${"[],".repeat(most / 3)}[]]`),
  "very many points passed over": (_draw, most) =>
    `{"type":"MultiPoint","coordinates":[${"[1,2],".repeat(most / 6)}[1,2]]}`,
  "properties without end": (_draw, most) =>
    `{"type":"Feature","properties":{${list(most / 12, (i) => `"k${i}":${i}`).join(",")}},"geometry":null}`,
  "a name without end": (draw, most) =>
    collection([
      polygon("[[[-93,42],[-92.9,42],[-92.9,42.1]]]").replace(
        "Lawn",
        run(draw, most).replaceAll('"', "").replaceAll("\n", "").replaceAll("\t", ""),
      ),
    ]),
  "GPX with a walk of very many points": (draw, most) => {
    const count = 3 + whole(draw, most / 60);
    return gpx(
      `<trk><name>Walk</name><trkseg>${list(count, (i) => `<trkpt lat="${position(i, count, draw())[0]}" lon="${position(i, count)[1]}"/>`).join("")}</trkseg></trk>`,
    );
  },
  "GPX with very many segments": (_draw, most) => gpx(`<trk>${"<trkseg></trkseg>".repeat(most / 17)}</trk>`),
  "KML with very many points": (draw, most) => {
    const count = 3 + whole(draw, most / 40);
    return kml(placemark(list(count, (i) => position(i, count).reverse().join(",")).join(" ")));
  },
  "KML with blanks without end": (draw, most) =>
    kml(
      placemark(
        `${" ".repeat(most / 2)}-93,42 -92.9,42${"\n".repeat(most / 2)}`,
        run(draw, 1000).replace(/[<&]/g, ""),
      ),
    ),
  "KML with commas without end": (_draw, most) => kml(placemark(`-93,42${",".repeat(most)}`)),
  "KML with digits without end": (_draw, most) => kml(placemark(`-93,${"4".repeat(most)} 1,2 3,4`)),
  "KML with very many places": (_draw, most) =>
    kml("<Placemark><name>a</name><Point/></Placemark>".repeat(most / 50)),
  "elements inside one another": (_draw, most) => kml("<Folder>".repeat(most / 8)),
  "attributes without end": (_draw, most) =>
    kml(`<Placemark ${list(most / 10, (i) => `a${i}="1"`).join(" ")}/>`),
  "references to characters without end": (_draw, most) =>
    kml(`<Placemark><name>${"&#65;".repeat(most / 5)}</name></Placemark>`),
  "pieces of text without end": (_draw, most) =>
    kml(`<Placemark><name>${"a<![CDATA[b]]>".repeat(most / 14)}</name></Placemark>`),
  "a tag that never closes": (_draw, most) => `<kml ${" ".repeat(most)}`,
  "a comment that never closes": (_draw, most) => `<kml><!-- ${"- ".repeat(most / 2)}`,
  "blanks before anything": (_draw, most) => `${" ".repeat(most)}{"type":"FeatureCollection","features":[]}`,
};

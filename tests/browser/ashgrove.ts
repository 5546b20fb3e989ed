/** An invented job, and what it comes to by plain arithmetic: nothing here knows the functions that are tested. */

/** Earth as map files have it, in metres. */
const equator = 6_378_137;
const flattening = 1 / 298.257223563;
const squaredEccentricity = flattening * (2 - flattening);
const feetInMetre = 1 / 0.3048;

/** A plot between two parallels and two meridians. */
const paddock = { south: 44.0302, north: 44.0305, west: -73.2013, east: -73.201 } as const;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** The ground between two parallels and two meridians of the ellipsoid, by the integral that gives it, in ft². */
function groundOf({ south, north, west, east }: typeof paddock): { area: number; edge: number } {
  const e = Math.sqrt(squaredEccentricity);
  const upTo = (latitude: number) => {
    const s = Math.sin(radians(latitude));
    return s / (1 - (e * s) ** 2) + Math.log((1 + e * s) / (1 - e * s)) / (2 * e);
  };
  const polar = equator * (1 - flattening);
  const square = ((polar * polar) / 2) * radians(east - west) * (upTo(north) - upTo(south));
  const w = (latitude: number) => Math.sqrt(1 - squaredEccentricity * Math.sin(radians(latitude)) ** 2);
  const across = (latitude: number) =>
    (equator / w(latitude)) * Math.cos(radians(latitude)) * radians(east - west);
  const middle = (south + north) / 2;
  const up = ((equator * (1 - squaredEccentricity)) / w(middle) ** 3) * radians(north - south);
  return {
    area: square * feetInMetre ** 2,
    edge: (across(south) + across(north) + 2 * up) * feetInMetre,
  };
}

export interface Pack {
  readonly size: number;
  readonly price: number;
}

export const lots = [
  { name: "Tall fescue blend A", lot: "A-4471", purity: 0.975, germination: 0.9, dormant: 0 },
  { name: "Tall fescue blend B", lot: "B-0932", purity: 0.96, germination: 0.82, dormant: 0.04 },
] as const;

export const seedPacks: readonly Pack[] = [
  { size: 50, price: 148 },
  { size: 10, price: 34.5 },
];

export const job = {
  seedStock: 12,
  starter: { phosphate: 0.24, rate: 0.9, packs: [{ size: 50, price: 42 }], stock: 5 },
  spray: {
    rate: 3,
    volume: 40,
    tank: 4,
    concentration: 2,
    limit: 0.5,
    packs: [{ size: 8, price: 57.25 }],
    stock: 0,
  },
  topdressing: { depth: 0.375, swell: 1.2, loss: 0.18, packs: [{ size: 2, price: 9.75 }], stock: 6 },
  conditioner: { rate: 10, packs: [{ size: 40, price: 31 }], stock: 15 },
  dropWidth: 22,
  crew: 3,
  hourly: 34.5,
  overhead: 0.12,
  margin: 0.3,
  tax: 0.0725,
  deposit: 0.25,
  steps: [
    { name: "Prepare the ground", pace: 1200, further: 0, equipment: 95 },
    { name: "Seed", pace: 3500, further: 0.25, equipment: 20 },
    { name: "Starter fertilizer", pace: 7000, further: 0, equipment: 0 },
    { name: "Pre-emergent", pace: 7500, further: 0.5, equipment: 18 },
    { name: "Topdressing", pace: 1300, further: 0, equipment: 64 },
    { name: "Soil conditioner", pace: 8000, further: 0, equipment: 0 },
    { name: "Clean up and set up the water", pace: 0, further: 1.75, equipment: 0 },
  ],
} as const;

/** Areas, edges, inside corners and seeding rates of the zones in their order, from what was measured. */
function zonesOf(orchard: number) {
  const ground = groundOf(paddock);
  const published = 7;
  return [
    { name: "Front lawn", area: 72.5 * 40, edge: 2 * (72.5 + 40), corners: 4, rate: published },
    { name: "Round lawn", area: Math.PI * 19 ** 2, edge: Math.PI * 38, corners: 0, rate: published },
    { name: "Gable", area: (60 * 35) / 2, edge: 165, corners: 3, rate: published },
    { name: "Lane strip", area: 150 * 2.5 - 2 * 2.5 ** 2, edge: 150, corners: 2, rate: 8 },
    { name: "Orchard", area: orchard - 350, edge: 290, corners: 5, rate: 3.5 },
    { name: "Paddock", ...ground, corners: 4, rate: published },
  ];
}

const cents = (amount: number): number => Math.round((amount + Number.EPSILON) * 100) / 100;
const sum = (amounts: readonly number[]): number => amounts.reduce((total, one) => total + one, 0);
const acres = (squareFeet: number): number => squareFeet / 43_560;

/** The cheapest packs that hold the need, then those with the least left over, then the fewest: by trying all. */
export function cheapest(need: number, packs: readonly Pack[]): readonly number[] {
  const most = packs.map(({ size }) => Math.ceil(need / size));
  let best: { counts: readonly number[]; order: readonly number[] } | undefined;
  const tryAll = (counts: readonly number[]): void => {
    if (counts.length < packs.length) {
      for (let n = 0; n <= (most[counts.length] ?? 0); n++) tryAll([...counts, n]);
      return;
    }
    const total = (of: (pack: Pack) => number) => sum(packs.map((pack, i) => of(pack) * (counts[i] ?? 0)));
    const held = total(({ size }) => size);
    if (held < need - 1e-9) return;
    const order = [total(({ price }) => price), held - need, sum(counts)];
    const at = order.findIndex((one, i) => Math.abs(one - (best?.order[i] ?? Infinity)) > 1e-9);
    if (best === undefined || (at >= 0 && (order[at] ?? 0) < (best.order[at] ?? 0))) best = { counts, order };
  };
  tryAll([]);
  return best?.counts ?? packs.map(() => 0);
}

/** Everything that the sheets should say of the job. */
export function reckoned(orchard: number, lot: 0 | 1) {
  const { purity, germination, dormant } = lots[lot];
  const live = purity * (germination + dormant);
  const drop = job.dropWidth / 12;
  const zones = zonesOf(orchard).map((zone) => {
    const strip = Math.min(zone.area, zone.edge * drop - zone.corners * drop ** 2);
    const seed = (area: number) => (area * zone.rate) / 1000 / live;
    return {
      ...zone,
      strip,
      seedStrip: seed(strip),
      seedFirst: seed(zone.area - strip) / 2,
      seed: seed(zone.area),
    };
  });
  const area = sum(zones.map((zone) => zone.area));
  const { starter, spray, topdressing, conditioner } = job;
  const loose = (area * topdressing.depth) / 12;
  const materials = [
    { need: sum(zones.map(({ seed }) => seed)), stock: job.seedStock, packs: seedPacks },
    { ...starter, need: (area * starter.rate) / 1000 / starter.phosphate },
    { ...spray, need: acres(area) * spray.rate },
    { ...topdressing, need: loose / (1 - topdressing.loss) / topdressing.swell },
    { ...conditioner, need: (area * conditioner.rate) / 1000 },
  ].map(({ need, stock, packs }) => {
    const toBuy = Math.max(0, need - stock);
    const counts = cheapest(toBuy, packs);
    const bought = sum(packs.map(({ size }, i) => size * (counts[i] ?? 0)));
    const cost = sum(packs.map(({ price }, i) => price * (counts[i] ?? 0)));
    return { need, toBuy, counts, bought, left: stock + bought - need, cost };
  });
  const steps = job.steps.map(({ name, pace, further, equipment }, i) => {
    const hours = (pace === 0 ? 0 : area / pace / job.crew) + further;
    const labour = hours * job.crew * job.hourly;
    const direct = labour + equipment + (materials[i - 1]?.cost ?? 0) * (i >= 1 && i <= 5 ? 1 : 0);
    const loaded = direct * (1 + job.overhead);
    return { name, hours, labour, loaded, price: cents(loaded / (1 - job.margin)) };
  });
  const price = cents(sum(steps.map((step) => step.price)));
  const taxed = cents(price * (1 + job.tax));
  const deposit = cents(taxed * job.deposit);
  const water = acres(area) * spray.volume;
  const starterRate = starter.rate / starter.phosphate;
  return {
    live,
    zones,
    area,
    edge: sum(zones.map((zone) => zone.edge)),
    loose,
    materials,
    cost: sum(materials.map((material) => material.cost)),
    steps,
    price,
    taxed,
    deposit,
    balance: taxed - deposit,
    margin: 1 - sum(steps.map(({ loaded }) => loaded)) / price,
    starterRate,
    sprayed: (spray.rate / 128) * spray.concentration,
    room: spray.limit - (spray.rate / 128) * spray.concentration,
    loads: Math.ceil(water / spray.tank),
    lastLoad: water - (Math.ceil(water / spray.tank) - 1) * spray.tank,
  };
}

export const mapFile = `<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>Paddock</name><Polygon><outerBoundaryIs><LinearRing><coordinates>
${[
  [paddock.west, paddock.south],
  [paddock.east, paddock.south],
  [paddock.east, paddock.north],
  [paddock.west, paddock.north],
  [paddock.west, paddock.south],
]
  .map((point) => point.join(","))
  .join("\n")}
</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>`;

/** For the client: when and how long to water, when to mow and feed, with dates from the seeding day. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import type { PlannedSheets } from "../bid-sheets";
import { PlacedFigures } from "../declare/figures";
import type { Sheet } from "../declare/sheet";
import type { ColumnId } from "../declare/table";
import { PlacedTable } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { SheetPlan } from "../plan";
import type { OrderRefs } from "./order";
import type { QuantityRefs } from "./quantities";
import type { SiteRefs } from "./site";
import { calendar, intervals, runTimes, schedule } from "./water-plan";

/**
 * Days to germination as extension services commonly give them (common practice), and mowing heights in inches from
 * extension tables. A mixture keeps to its slowest grass.
 */
const grasses: readonly (readonly [grass: string, first: number, last: number, mow: number])[] = [
  ["perennial ryegrass", 5, 10, 2],
  ["tall fescue", 7, 12, 3],
  ["fescue", 7, 14, 2.5],
  ["bentgrass", 6, 14, 1],
  ["Kentucky bluegrass", 14, 28, 2.5],
];

/** The row of the heads of the calendar and of the intervals beside it. */
const head = 6;
/** The first column beside the client's page. */
const side = 9;
/** The row of the heads of the run times, below the calendar and what holds on every day. */
const runsHead = 22;
/** The columns of the client's page. */
const page = Object.keys(runTimes.columns).length;

interface Reckoned {
  readonly published: PlacedTable<typeof intervals>;
  readonly set: PlacedFigures<typeof schedule>;
}

/** Beside the client's page, what the estimator may change. */
function planReckoned(kit: Kit, plan: SheetPlan): Reckoned {
  const isUs = kit.system === "us";
  const published = new PlacedTable(kit, plan, intervals, head, side);
  plan.put(head - 1, side, "Published intervals, for the estimator to change", "heading");
  published.heads();
  grasses.forEach(([grass, first, last, mow], i) => {
    const row = head + 1 + i;
    published.input("grass", row, grass);
    published.input("first", row, first);
    published.input("last", row, last);
    published.input("height", row, isUs ? mow : mow * 25);
  });
  const lastGrass = head + grasses.length;
  published.known(lastGrass);
  plan.put(
    lastGrass + 1,
    side,
    "Common practice among extension services; the tag and local advice come first.",
    "note",
  );
  const places = { label: side, value: side + 1, unit: side + 2, isPlain: true } as const;
  const set = new PlacedFigures(kit, plan, schedule, lastGrass + 3, places);
  for (const id of ["light", "timesADay", "deep", "feeding", "growth"] as const) {
    const takes = schedule.figures[id].takes(kit.system);
    set.input(id, "example" in takes ? takes.example : undefined);
  }
  return { published, set };
}

/** Dates for the whole property: the earliest seedlings and the latest, so that one calendar holds for all zones. */
function planCalendar(
  kit: Kit,
  plan: SheetPlan,
  set: PlacedFigures<typeof schedule>,
  zoneDays: (id: "first" | "last") => string,
  order: OrderRefs,
): void {
  const isUs = kit.system === "us";
  const depthUnit = kit.unit("rainDepth");
  const day = order.term("seedingDay");
  const placed = new PlacedTable(kit, plan, calendar, head);
  const rowOf = (id: string) => head + 1 + calendar.rows.indexOf(id);
  const line = (id: string, label: string, days: string, words: Content) => {
    const row = rowOf(id);
    placed.put("what", row, label, "label");
    placed.formula("date", row, `IF(${day}=0,"",${day}+${days})`, "result", { form: "date", align: "left" });
    placed.formula("day", row, days, "unit", { form: "day", align: "left" });
    plan.across(row, [placed.column("todo"), page], words, "text", 2);
  };
  const [perDay, deep, feed, growth] = [
    set.fixed("timesADay"),
    set.fixed("deep"),
    set.fixed("feeding"),
    set.fixed("growth"),
  ];
  const slowest = `MAX(${zoneDays("last")})`;
  placed.heads();
  for (let column = placed.right + 1; column <= page; column++) plan.put(head, column, "", "column");
  placed.known(head + calendar.rows.length, rowOf);
  line(
    "seeding",
    "Seeding day",
    "0",
    asFormula(
      `"Water lightly "&TEXT(${perDay},"0")&" times a day from today, more often when it is windy and sunny."`,
    ),
  );
  line(
    "firstSeedlings",
    "First seedlings",
    `MIN(${zoneDays("first")})`,
    "Go on as before: the seed that is still in the ground must not dry out.",
  );
  line(
    "lastSeedlings",
    "Last seedlings",
    slowest,
    "Bare spots now are bare: call us. From here on, one watering fewer every few days.",
  );
  line(
    "deeper",
    "Fewer, deeper waterings",
    `${slowest}+${growth}-3`,
    asFormula(
      `"At a height of about ${isUs ? "1 to 2 in" : "3 to 5 cm"}: one deep watering of "&TEXT(${deep},"0.0#")&" ${depthUnit} every two or three days."`,
    ),
  );
  line(
    "firstMowing",
    "First mowing",
    `${slowest}+${growth}`,
    "When the grass is a third above its mowing height, on dry ground, with a sharp blade. Never take more than a third.",
  );
  line(
    "mowed",
    "After two or three mowings",
    `${slowest}+${growth}+21`,
    "About once a week, deeply. Weed killers not before the label allows them on young grass.",
  );
  line("feeding", "Next feeding", feed, "Lightly, watered in; local rules on phosphorus and seasons decide.");
}

/** What holds on every day. */
function planAdvice(plan: SheetPlan, light: string, depthUnit: string): void {
  const first = head + calendar.rows.length + 2;
  const sentences: readonly Content[] = [
    "Keep children, pets and feet off until the second mowing. Skip a watering when rain has done it.",
    "Where water begins to run off, stop, wait half an hour and give the rest: two short turns are better than one long.",
    "Water early in the morning and around noon; the last light watering ends well before dusk.",
    asFormula(
      `"A light watering is "&TEXT(${light},"0.0##")&" ${depthUnit}. Minutes come from the test with catch cans in each zone; where none was made, ask us."`,
    ),
  ];
  sentences.forEach((sentence, i) => plan.across(first + i, [1, page], sentence, "text"));
}

function planRunTimes(
  kit: Kit,
  placed: PlacedTable<typeof runTimes>,
  { published, set }: Reckoned,
  site: SiteRefs,
  quantities: QuantityRefs,
): void {
  const [light, deep] = [set.fixed("light"), set.fixed("deep")];
  const column = (id: ColumnId<typeof intervals>) =>
    `${published.fixed(id, head + 1)}:${published.fixed(id, head + grasses.length)}`;
  placed.plan.put(placed.head - 1, 1, "How long to run the sprinklers", "heading");
  placed.heads();
  for (let i = 0; i < quantities.capacity; i++) {
    const row = placed.head + 1 + i;
    const name = quantities.zone(i, "zone");
    placed.formula("zone", row, name, "label");
    const grass = site.pickText("grass", String(i + 1));
    // A name such as "Kentucky bluegrass and perennial ryegrass" holds several grasses.
    const named = `ISNUMBER(FIND(LOWER(${column("grass")}),LOWER(${grass})))*(${column("grass")}<>"")`;
    const most = (id: ColumnId<typeof intervals>) => `SUMPRODUCT(MAX(${named}*${column(id)}))`;
    const least = (id: ColumnId<typeof intervals>) => `999-SUMPRODUCT(MAX(${named}*(999-${column(id)})))`;
    const known = (formula: string) => `IF(OR(${name}="",${most("last")}=0),"",${formula})`;
    placed.result("first", row, known(least("first")));
    placed.result("last", row, known(most("last")));
    placed.result("height", row, known(most("height")));
    const rate = site.pick("sprinklerRate", String(i + 1));
    const evenness = site.pick("uniformity", String(i + 1));
    const minutes = (water: string) =>
      `IF(${name}="","",IF(${rate}=0,"test first",${kit.call("RUN_TIME", water, rate, evenness)}))`;
    placed.result("light", row, minutes(light), { align: "right" });
    placed.result("deep", row, minutes(deep), { align: "right" });
    const volume = whereSet(light, kit.call("WATER_VOLUME", quantities.zone(i, "area"), light));
    placed.result("volume", row, `IF(${name}="","",${volume})`);
  }
  placed.known(placed.head + quantities.capacity);
}

function planWatering(kit: Kit, plan: SheetPlan, { site, quantities, order }: PlannedSheets): void {
  const reckoned = planReckoned(kit, plan);
  const runs = new PlacedTable(kit, plan, runTimes, runsHead);
  const zoneDays = (id: "first" | "last") => runs.here(id, runsHead + 1, runsHead + quantities.capacity);
  planCalendar(kit, plan, reckoned.set, zoneDays, order);
  planAdvice(plan, reckoned.set.fixed("light"), kit.unit("rainDepth"));
  planRunTimes(kit, runs, reckoned, site, quantities);
  plan.printed = { columns: page };
  plan.widths = [26, 21, 16, 15, 16, 16, 17, 3, 40, 21, 12, 19];
  plan.titleRows = [1, 2];
}

export const wateringSheet: Sheet = {
  name: "Watering",
  purpose: "Watering: your schedule after seeding",
  legend: "Keep the top moist, never wet: stop before water stands or runs.",
  tab: "paper",
  tellsCosts: false,
  tables: [calendar, runTimes, intervals],
  figures: [schedule],
  plan: planWatering,
};

/** For the client: when and how long to water, when to mow and feed, with dates from the seeding day. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { Named } from "../entry";
import { amount, headOf, limitsOrNone, wholeAmount } from "../entry";
import type { SheetPlan } from "../plan";
import { blockHere, fixedHere } from "../plan";
import type { OrderRefs } from "./order";
import type { QuantityRefs } from "./quantities";
import type { SiteRefs } from "./site";

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

/** What the client is to do when. */
export const calendar = table({
  id: "calendar",
  sheet: "watering",
  rows: ["seeding", "firstSeedlings", "lastSeedlings", "deeper", "firstMowing", "mowed", "feeding"],
  columns: {
    what: { name: "What", holds: "text", says: "What happens." },
    date: { name: "Date", holds: "number", form: "date", says: "When, once the seeding day is set." },
    day: { name: "", holds: "number", says: "Days after seeding." },
    todo: { name: "What to do", holds: "text", says: "What the client does about it." },
  },
});

export type CalendarDay = (typeof calendar.rows)[number];

export function planWatering(
  kit: Kit,
  site: SiteRefs,
  quantities: QuantityRefs,
  order: OrderRefs,
): SheetPlan {
  const plan = kit.sheet("watering", "Keep the top moist, never wet: stop before water stands or runs.");
  const isUs = kit.system === "us";
  const depthUnit = kit.unit("rainDepth");
  const table = 6;
  const side = 9;
  plan.put(table - 1, side, "Published intervals, for the estimator to change", "heading");
  const [earliest, latest, height]: readonly [Named, Named, Named] = [
    { name: "First seedlings", unit: "days" },
    { name: "Last", unit: "days" },
    { name: "Mowing height", unit: depthUnit },
  ];
  plan.columns(table, ["Grass named on Site holds", ...[earliest, latest, height].map(headOf)], side);
  const days = (named: Named, example: number) =>
    ({ ...named, takes: "number", limits: wholeAmount, example }) as const;
  grasses.forEach(([grass, first, last, mow], i) => {
    const row = table + 1 + i;
    plan.input(row, side, grass, { form: "text" });
    plan.input(row, side + 1, first, { form: "whole", entry: days(earliest, 5) });
    plan.input(row, side + 2, last, { form: "whole", entry: days(latest, 10) });
    plan.input(row, side + 3, isUs ? mow : mow * 25, {
      form: isUs ? "general" : "whole",
      entry: { ...height, takes: "number", limits: amount, example: isUs ? 2 : 50 },
    });
  });
  const lastGrass = table + grasses.length;
  const column = (n: number) => `${fixedHere(table + 1, side + n)}:${fixedHere(lastGrass, side + n)}`;
  plan.put(
    lastGrass + 1,
    side,
    "Common practice among extension services; the tag and local advice come first.",
    "note",
  );
  const setting = (row: number, label: string, content: number, unit: string, limits = wholeAmount) => {
    plan.put(row, side, label, "label");
    plan.input(row, side + 1, content, {
      ...(limits.whole === true ? { form: "whole" } : {}),
      entry: {
        name: label,
        ...(unit === "" ? {} : { unit }),
        takes: "number",
        limits,
        example: content,
      },
    });
    plan.put(row, side + 2, unit, "unit");
    return fixedHere(row, side + 1);
  };
  const first = lastGrass + 3;
  const poured = limitsOrNone("WATER_VOLUME", "depth");
  const depth = setting(first, "One light watering", isUs ? 0.1 : 2.5, depthUnit, poured);
  const perDay = setting(first + 1, "Light waterings a day", 2, "");
  const deep = setting(first + 2, "One deep watering, later on", isUs ? 0.5 : 12, depthUnit, poured);
  const feed = setting(first + 3, "Next feeding after seeding", 42, "days");
  const growth = setting(first + 4, "From last seedlings to first mowing", 10, "days");

  // Over all zones: the earliest and the latest, so that one calendar holds for the property.
  const grassCell = (i: number) => site.pickText("grass", String(i + 1));
  const head = 22;
  const firstRow = head + 1;
  const lastRow = head + quantities.capacity;
  const [fromDays, toDays] = [blockHere(firstRow, 2, lastRow, 2), blockHere(firstRow, 3, lastRow, 3)];
  const day = order.term("seedingDay");
  const placed = new PlacedTable(kit, plan, calendar, 6);
  const line = (row: number, label: string, days: string, words: Content) => {
    plan.put(row, 1, label, "label");
    plan.put(row, 2, asFormula(`IF(${day}=0,"",${day}+${days})`), "result", { form: "date", align: "left" });
    placed.formula("day", row, days, "unit", { form: "day", align: "left" });
    plan.across(row, [4, 7], words, "text", 2);
  };
  const slowest = `MAX(${toDays})`;
  placed.heads();
  plan.columns(6, ["", "", ""], 5);
  placed.known(6 + calendar.rows.length, (id) => 7 + calendar.rows.indexOf(id));
  line(
    7,
    "Seeding day",
    "0",
    asFormula(
      `"Water lightly "&TEXT(${perDay},"0")&" times a day from today, more often when it is windy and sunny."`,
    ),
  );
  line(
    8,
    "First seedlings",
    `MIN(${fromDays})`,
    "Go on as before: the seed that is still in the ground must not dry out.",
  );
  line(
    9,
    "Last seedlings",
    slowest,
    "Bare spots now are bare: call us. From here on, one watering fewer every few days.",
  );
  line(
    10,
    "Fewer, deeper waterings",
    `${slowest}+${growth}-3`,
    asFormula(
      `"At a height of about ${isUs ? "1 to 2 in" : "3 to 5 cm"}: one deep watering of "&TEXT(${deep},"0.0#")&" ${depthUnit} every two or three days."`,
    ),
  );
  line(
    11,
    "First mowing",
    `${slowest}+${growth}`,
    "When the grass is a third above its mowing height, on dry ground, with a sharp blade. Never take more than a third.",
  );
  line(
    12,
    "After two or three mowings",
    `${slowest}+${growth}+21`,
    "About once a week, deeply. Weed killers not before the label allows them on young grass.",
  );
  line(13, "Next feeding", feed, "Lightly, watered in; local rules on phosphorus and seasons decide.");
  plan.across(
    15,
    [1, 7],
    "Keep children, pets and feet off until the second mowing. Skip a watering when rain has done it.",
    "text",
  );
  plan.across(
    16,
    [1, 7],
    "Where water begins to run off, stop, wait half an hour and give the rest: two short turns are better than one long.",
    "text",
  );
  plan.across(
    17,
    [1, 7],
    "Water early in the morning and around noon; the last light watering ends well before dusk.",
    "text",
  );
  plan.across(
    18,
    [1, 7],
    asFormula(
      `"A light watering is "&TEXT(${depth},"0.0##")&" ${depthUnit}. Minutes come from the test with catch cans in each zone; where none was made, ask us."`,
    ),
    "text",
  );

  plan.put(head - 1, 1, "How long to run the sprinklers", "heading");
  plan.columns(head, [
    "Zone",
    "First seedlings, days",
    "Last seedlings, days",
    `Mowing height, ${depthUnit}`,
    "Light watering, minutes",
    "Deep watering, minutes",
    `Light watering, ${kit.unit("waterVolume")}`,
  ]);
  for (let i = 0; i < quantities.capacity; i++) {
    const row = firstRow + i;
    const name = quantities.zone(i, "zone");
    plan.put(row, 1, asFormula(name), "label");
    const grass = grassCell(i);
    // A name such as "Kentucky bluegrass and perennial ryegrass" holds several grasses.
    const named = `ISNUMBER(FIND(LOWER(${column(0)}),LOWER(${grass})))*(${column(0)}<>"")`;
    const of = (n: number, pick: "MAX" | "MIN") =>
      pick === "MAX"
        ? `SUMPRODUCT(MAX(${named}*${column(n)}))`
        : `999-SUMPRODUCT(MAX(${named}*(999-${column(n)})))`;
    const known = (formula: string) => `IF(OR(${name}="",${of(2, "MAX")}=0),"",${formula})`;
    plan.result(row, 2, known(of(1, "MIN")), "whole");
    plan.result(row, 3, known(of(2, "MAX")), "whole");
    plan.result(row, 4, known(of(3, "MAX")), isUs ? "one decimal" : "whole");
    const rate = site.pick("sprinklerRate", String(i + 1));
    const evenness = site.pick("uniformity", String(i + 1));
    const minutes = (water: string) =>
      `IF(${name}="","",IF(${rate}=0,"test first",${kit.call("RUN_TIME", water, rate, evenness)}))`;
    plan.result(row, 5, minutes(depth), "whole", { align: "right" });
    plan.result(row, 6, minutes(deep), "whole", { align: "right" });
    plan.result(
      row,
      7,
      `IF(${name}="","",${whereSet(depth, kit.call("WATER_VOLUME", quantities.zone(i, "area"), depth))})`,
      "whole",
    );
  }
  plan.printed = { columns: 7 };
  plan.widths = [26, 21, 16, 15, 16, 16, 17, 3, 40, 21, 12, 19];
  plan.titleRows = [1, 2];
  return plan;
}

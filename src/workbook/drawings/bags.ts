/** Bags of topdressing against screen loss and depth: how close the bid is to one more bag, and to one more load. */
import type { UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { short, whole } from "./figures";
import type { BagFigures, BidFigures } from "./read-bid";
import { isMissing } from "./read-bid";
import { label, picture, wrapped } from "./svg";
import type { BagCurve, BagModel } from "./bag-model";
import { bagModel } from "./bag-model";
import { bagText, chart, chartHeight } from "./bag-chart";

/** Rows of the table: so many bags either way of the present. */
const rowsAround = 3;

function rangeText({ steps, from, to, text }: BagCurve, count: number): string {
  const held = steps.filter((one) => one.count === count);
  const [first, last] = [held[0], held[held.length - 1]];
  if (first === undefined || last === undefined) return "–";
  if (first.from === from) return `to ${text(last.to)}`;
  if (last.to === to) return `from ${text(first.from)}`;
  return `${text(first.from)} to ${text(last.to)}`;
}

function sentences(
  { inStock, packs }: BagFigures,
  system: UnitSystem,
  { bags, size, loss, depth }: BagModel,
  perLoad: number | undefined,
): readonly string[] {
  const unit = unitText("bagVolume", system);
  const beyond = (one: number | undefined, other: number | undefined) =>
    [one === undefined ? [] : [`${loss.text(one)} loss`], other === undefined ? [] : [depth.text(other)]]
      .flat()
      .join(" or ");
  const bought = packs.filter((pack) => pack.bought > 0);
  const next = beyond(loss.nextBag, depth.nextBag);
  const load = beyond(loss.nextLoad, depth.nextLoad);
  const loads = perLoad === undefined ? 0 : Math.ceil(bags / perLoad);
  return [
    `${bagText(bags)} of ${short(size)} ${unit} as the bid stands.`,
    ...(next === "" ? [] : [`One more bag beyond ${next}.`]),
    ...(loads === 0
      ? []
      : [
          `At ${whole(perLoad ?? 0)} bags a load: ${loads === 1 ? "one load" : `${whole(loads)} loads`}${load === "" ? "" : `, one more beyond ${load}`}.`,
        ]),
    ...(inStock > 0 ? [`${short(inStock)} ${unit} of it are in stock.`] : []),
    ...(bought.length > 1 ? ["The order mixes sizes; this reckons with the one it takes most of."] : []),
  ];
}

export function drawBags(bid: BidFigures, { width, ink, id }: Canvas, perLoad?: number): Drawing | NotYet {
  const { bags: figures, system } = bid;
  if (isMissing(figures)) return figures;
  const model = bagModel(figures, system, perLoad);
  if (model === undefined) {
    return {
      missing:
        "There is no topdressing to count yet: measure a zone on Site, choose a topdressing and a depth on Quantities and enter its pack size on Materials.",
    };
  }
  const { bags, loss, depth } = model;
  const isWide = width >= 520;
  const each = isWide ? (width - 16) / 2 : width;
  const inUnit = (value: number, isLast: boolean) =>
    `${short(value)}${isLast ? ` ${unitText("depth", system)}` : ""}`;
  const charts = [
    chart(loss, bags, perLoad, [0, 0], each, (value) => `${short(value * 100)} %`, ink),
    chart(depth, bags, perLoad, isWide ? [each + 16, 0] : [0, chartHeight + 12], each, inUnit, ink),
  ];
  let y = isWide ? chartHeight + 4 : 2 * chartHeight + 16;
  const told = sentences(figures, system, model, perLoad);
  const body = [...charts.flat()];
  for (const sentence of told) {
    for (const text of wrapped(sentence, width - 8)) body.push(label(text, [4, (y += 16)], ink));
  }
  const height = y + 8;
  const title = "Bags of topdressing against screen loss and depth";
  const description = told.join(" ");
  const counts = Array.from({ length: 2 * rowsAround + 1 }, (_, i) => bags - rowsAround + i).filter(
    (n) => n > 0,
  );
  return {
    ...picture({ id, title, description, width, height, ink }, body),
    table: {
      caption: "Bags near the present bid",
      heads: ["Bags", "Screen loss", "Depth"],
      rows: counts.map((n) => [
        n === bags ? `${whole(n)}, the bid` : whole(n),
        rangeText(loss, n),
        rangeText(depth, n),
      ]),
    },
  };
}

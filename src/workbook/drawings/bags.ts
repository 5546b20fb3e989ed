/** Bags of topdressing against screen loss and depth: how close the bid is to one more bag, and to one more load. */
import { scaleLinear } from "d3-scale";
import { topdressBags } from "../../engine/topdress/topdress-bags";
import type { UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import { answerOf } from "../formulas";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { perCent, short, whole } from "./figures";
import type { BagFigures, BidFigures } from "./read-bid";
import { isMissing } from "./read-bid";
import { reachOf, stairs } from "./stairs";
import type { Stair } from "./stairs";
import type { Ink, Point } from "./svg";
import { element, label, linesPath, picture, smallText, textWidth, wrapped } from "./svg";

/** The count over one figure, the other held as the bid has it. */
export interface BagCurve {
  readonly heading: string;
  readonly steps: readonly Stair[];
  readonly from: number;
  readonly to: number;
  readonly present: number;
  /** The figure beyond which one more bag is opened, and the one beyond which one more load is driven. */
  readonly nextBag: number | undefined;
  readonly nextLoad: number | undefined;
  readonly text: (figure: number) => string;
}

export interface BagModel {
  readonly bags: number;
  readonly size: number;
  readonly loss: BagCurve;
  readonly depth: BagCurve;
}

/** Half the widths that are drawn: ten points of loss, a quarter of the depth. */
const around = { loss: 0.1, depth: 0.25 } as const;
/** As far as a search goes: nobody screens away more, nobody spreads a layer ten times as deep. */
const farthest = { loss: 0.9, depth: 10 } as const;

/** The size that the order takes most of; before it takes any, the first on the price book. */
const sizeOf = ({ packs }: BagFigures): number =>
  packs.reduce((most, pack) => (pack.size * pack.bought > most.size * most.bought ? pack : most), {
    size: packs[0]?.size ?? 0,
    bought: 0,
  }).size;

export function bagModel(
  figures: BagFigures,
  system: UnitSystem,
  perLoad: number | undefined,
): BagModel | undefined {
  const { area, depth, screenLoss, swell } = figures;
  const size = sizeOf(figures);
  if (area <= 0 || depth <= 0 || size <= 0) return undefined;
  const count = (deep: number, loss: number): number =>
    Number(answerOf(topdressBags, [area, deep, size, loss, swell, system]));
  const overLoss = (loss: number) => count(depth, loss);
  const overDepth = (deep: number) => count(deep, screenLoss);
  const bags = count(depth, screenLoss);
  const unit = unitText("depth", system);
  const curve = (
    heading: string,
    present: number,
    countAt: (x: number) => number,
    [least, most, end]: readonly [number, number, number],
    text: (figure: number) => string,
  ): BagCurve => {
    const nextBag = reachOf(countAt, present, end, bags);
    // The next step is drawn even where it is farther off than what is drawn otherwise.
    const to =
      nextBag === undefined ? most : Math.min(end, Math.max(most, nextBag + (nextBag - present) * 0.2));
    const nextLoad =
      perLoad === undefined ? undefined : reachOf(countAt, present, end, Math.ceil(bags / perLoad) * perLoad);
    return { heading, steps: stairs(countAt, least, to), from: least, to, present, nextBag, nextLoad, text };
  };
  const loss = Math.min(screenLoss, farthest.loss);
  return {
    bags,
    size,
    loss: curve(
      `Over screen loss, at ${short(depth)} ${unit}`,
      loss,
      overLoss,
      [Math.max(0, loss - around.loss), Math.min(farthest.loss, loss + around.loss), farthest.loss],
      perCent,
    ),
    depth: curve(
      `Over depth, at ${short(screenLoss * 100)} % loss`,
      depth,
      overDepth,
      [depth * (1 - around.depth), depth * (1 + around.depth), depth * farthest.depth],
      (figure) => `${Number(figure.toPrecision(3))} ${unit}`,
    ),
  };
}

const bagText = (bags: number): string => `${whole(bags)} ${bags === 1 ? "bag" : "bags"}`;

const chartHeight = 190;
const edge = { left: 40, right: 12, top: 24, bottom: 24 } as const;

function axes(
  [left, top]: Point,
  [right, bottom]: Point,
  x: {
    readonly at: (value: number) => number;
    readonly ticks: readonly number[];
    readonly text: (value: number, isLast: boolean) => string;
  },
  y: { readonly at: (value: number) => number; readonly ticks: readonly number[] },
  ink: Ink,
): readonly string[] {
  const small = { size: smallText } as const;
  const thin = { fill: "none", stroke: ink.line, "stroke-width": 0.5, "stroke-opacity": 0.35 } as const;
  return [
    element("path", {
      d: linesPath(
        y.ticks.map((tick) => [
          [left, y.at(tick)],
          [right, y.at(tick)],
        ]),
      ),
      ...thin,
    }),
    element("path", {
      d: linesPath([
        [
          [left, top],
          [left, bottom],
          [right, bottom],
        ],
        ...x.ticks.map(
          (tick) =>
            [
              [x.at(tick), bottom],
              [x.at(tick), bottom + 4],
            ] as const,
        ),
      ]),
      fill: "none",
      stroke: ink.line,
    }),
    ...y.ticks.map((tick) =>
      label(whole(tick), [left - 6, y.at(tick) + 4], ink, { ...small, anchor: "end" }),
    ),
    ...x.ticks.map((tick, i) =>
      label(x.text(tick, i === x.ticks.length - 1), [x.at(tick), bottom + 16], ink, {
        ...small,
        anchor: "middle",
      }),
    ),
  ];
}

/** A text on the paper's own colour, in front of what it stands over. */
function tag(
  text: string,
  [x, y]: Point,
  anchor: "start" | "end",
  ink: Ink,
  bold = false,
): readonly string[] {
  const wide = textWidth(text, smallText) + 4;
  return [
    element("rect", {
      x: anchor === "start" ? x - 2 : x - wide + 2,
      y: y - smallText,
      width: wide,
      height: smallText + 4,
      fill: ink.paper,
    }),
    label(text, [x, y], ink, { size: smallText, anchor, bold }),
  ];
}

function chart(
  curve: BagCurve,
  bags: number,
  perLoad: number | undefined,
  [left, top]: Point,
  width: number,
  tickText: (value: number, isLast: boolean) => string,
  ink: Ink,
): readonly string[] {
  const [x0, x1] = [left + edge.left, left + width - edge.right];
  const [y0, y1] = [top + chartHeight - edge.bottom, top + edge.top];
  const counts = curve.steps.map(({ count }) => count);
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  const room = Math.max(1, (most - least) * 0.08);
  const x = scaleLinear([curve.from, curve.to], [x0, x1]);
  const y = scaleLinear([Math.max(0, least - room), most + room], [y0, y1]);
  const steps = curve.steps.flatMap(({ from, to, count }): readonly Point[] => [
    [x(from), y(count)],
    [x(to), y(count)],
  ]);
  const at: Point = [x(curve.present), y(bags)];
  const isLeft = at[0] - x0 < 80;
  const [low = 0, high = 0] = y.domain();
  const loads =
    perLoad === undefined
      ? []
      : Array.from({ length: Math.floor(high / perLoad) }, (_, i) => i + 1).filter((n) => n * perLoad >= low);
  // The stairs climb to the right, so above the bid there is room on the left and below it on the right.
  const loadTag = (text: string, height: number, onLeft: boolean) =>
    tag(text, [onLeft ? x0 + 4 : x1 - 2, height + 14], onLeft ? "start" : "end", ink);
  const across = Math.max(3, Math.floor((x1 - x0) / 60));
  return [
    label(curve.heading, [left + 4, top + 13], ink, { bold: true }),
    ...axes(
      [x0, y1],
      [x1, y0],
      { at: x, ticks: x.ticks(across).filter((tick) => x(tick) < x1 - 14), text: tickText },
      { at: y, ticks: y.ticks(4).filter(Number.isInteger) },
      ink,
    ),
    ...loads.flatMap((n) => {
      const height = y(n * (perLoad ?? 0));
      return [
        element("path", {
          d: linesPath([
            [
              [x0, height],
              [x1, height],
            ],
          ]),
          stroke: ink.line,
          "stroke-width": 1.5,
          "stroke-dasharray": "8 3 2 3",
          fill: "none",
        }),
        ...loadTag(n === 1 ? "one load" : `${n} loads`, height, n * (perLoad ?? 0) >= bags && !isLeft),
      ];
    }),
    element("path", {
      d: linesPath([steps]),
      fill: "none",
      stroke: ink.line,
      "stroke-width": 2,
      "stroke-linejoin": "round",
    }),
    element("path", {
      d: linesPath([[at, [at[0], y0]]]),
      fill: "none",
      stroke: ink.line,
      "stroke-dasharray": "2 3",
    }),
    element("circle", { cx: at[0], cy: at[1], r: 4.5, fill: ink.paper, stroke: ink.line, "stroke-width": 2 }),
    ...(isLeft
      ? tag(bagText(bags), [at[0] + 10, at[1] + 18], "start", ink, true)
      : tag(bagText(bags), [at[0] - 8, at[1] - 8], "end", ink, true)),
  ];
}

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

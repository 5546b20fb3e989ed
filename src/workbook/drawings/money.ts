/** Where the money goes: every part of the client's price, the largest first. */
import { scaleLinear } from "d3-scale";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { listed, money, perCent } from "./figures";
import type { BidFigures, MoneyFigures } from "./read-bid";
import { isMissing } from "./read-bid";
import { bought, stepNames } from "../bid";
import type { Ink, Point } from "./svg";
import { element, fitted, hatch, label, linesPath, picture, smallText, textSize, textWidth } from "./svg";

export type PartKind = "material" | "work" | "on top";

export interface MoneyPart {
  readonly name: string;
  readonly kind: PartKind;
  readonly amount: number;
}

const cent = 0.005;

/** The parts of the price with tax; what the rounding of prices to cents makes is part of the margin. */
export function moneyParts({
  steps,
  cost,
  withOverhead,
  price,
  withTax,
}: MoneyFigures): readonly MoneyPart[] {
  const sum = (which: "labour" | "equipment") => steps.reduce((total, step) => total + step[which], 0);
  const materials = bought.map((which) => {
    const found = steps.find(({ step }) => step === which);
    return {
      name: found?.name ?? stepNames[which],
      kind: "material" as const,
      amount: found?.materials ?? 0,
    };
  });
  const work = [
    { name: "Labor", kind: "work" as const, amount: sum("labour") },
    { name: "Equipment", kind: "work" as const, amount: sum("equipment") },
  ];
  const onTop = [
    { name: "Overhead", kind: "on top" as const, amount: withOverhead - cost },
    {
      name: price < withOverhead - cent ? "Loss" : "Margin",
      kind: "on top" as const,
      amount: price - withOverhead,
    },
    { name: "Sales tax", kind: "on top" as const, amount: withTax - price },
  ];
  return [...materials, ...work, ...onTop].filter(({ amount }) => Math.abs(amount) >= cent);
}

const kinds: Record<PartKind, string> = {
  material: "materials",
  work: "labor and equipment",
  "on top": "overhead, margin and tax",
};

/** Each kind has a filling of its own that is told apart without colour. */
function filled(kind: PartKind, [x, y]: Point, [width, height]: Point, ink: Ink): readonly string[] {
  const box = element("rect", {
    x,
    y,
    width,
    height,
    fill: kind === "material" ? ink.fill : kind === "work" ? ink.strongFill : ink.paper,
    stroke: ink.line,
  });
  const lines =
    kind === "material"
      ? hatch([x, y], [width, height], 8)
      : kind === "work"
        ? hatch([x, y], [width, height], 4)
        : [];
  return lines.length === 0
    ? [box]
    : [box, element("path", { d: linesPath(lines), fill: "none", stroke: ink.line, "stroke-width": 0.7 })];
}

const barHeight = 14;
const key = 12;

/** A part with its sum and its share as they are written. */
interface ToldPart extends MoneyPart {
  readonly sum: string;
  readonly share: string;
}

const toldParts = (sums: MoneyFigures, currency: string): readonly ToldPart[] =>
  [...moneyParts(sums)]
    .sort((a, b) => b.amount - a.amount)
    .map((part) => ({
      ...part,
      sum: money(part.amount, currency),
      share: perCent(part.amount / sums.withTax),
    }));

/** Where names, bars and figures stand. */
interface Places {
  readonly isWide: boolean;
  readonly nameRoom: number;
  readonly left: number;
  readonly end: number;
  readonly sumAt: number;
  readonly shareAt: number;
}

function placesFor(parts: readonly ToldPart[], total: string, width: number): Places {
  const figureRoom = Math.max(...parts.map(({ sum }) => textWidth(sum)), textWidth(total));
  const shareRoom = Math.max(...parts.map(({ share }) => textWidth(share)), textWidth("100.0 %"));
  const right = width - 6;
  const sumAt = right - shareRoom - 10;
  // Names stand beside the bars where there is room for both, otherwise above them.
  const longest = Math.max(...parts.map(({ name }) => textWidth(name))) + 10;
  const isWide = width - longest - figureRoom - shareRoom > 260;
  const beforeSum = sumAt - figureRoom - 12;
  return {
    isWide,
    nameRoom: isWide ? longest : beforeSum,
    left: isWide ? longest : 4,
    end: isWide ? beforeSum : right,
    sumAt,
    shareAt: right,
  };
}

function drawParts(
  parts: readonly ToldPart[],
  { isWide, nameRoom, left, end, sumAt, shareAt }: Places,
  top: number,
  ink: Ink,
): { readonly body: readonly string[]; readonly bottom: number } {
  const most = Math.max(...parts.map(({ amount }) => amount));
  const scale = scaleLinear([0, most], [0, end - left]);
  const row = isWide ? 24 : 40;
  const body = parts.flatMap(({ name, kind, amount, sum, share }, i) => {
    const y = top + i * row;
    const text = isWide ? y + 11 : y + 12;
    const bar = isWide ? y : y + 17;
    return [
      label(fitted(name, nameRoom), [4, text], ink),
      label(sum, [sumAt, text], ink, { anchor: "end" }),
      label(share, [shareAt, text], ink, { anchor: "end" }),
      ...(amount > 0 ? filled(kind, [left, bar], [Math.max(1, scale(amount)), barHeight], ink) : []),
    ];
  });
  return { body, bottom: top + parts.length * row };
}

/** What each filling stands for, with its share of the whole. */
function drawKey(
  parts: readonly MoneyPart[],
  total: number,
  top: number,
  ink: Ink,
): { readonly body: readonly string[]; readonly bottom: number } {
  const body: string[] = [];
  let y = top;
  for (const kind of Object.keys(kinds) as PartKind[]) {
    const some = parts.filter((part) => part.kind === kind);
    if (some.length === 0) continue;
    const together = some.reduce((sum, { amount }) => sum + amount, 0);
    body.push(
      ...filled(kind, [4.5, y], [key * 1.5, key], ink),
      label(`${kinds[kind]}: ${perCent(together / total)}`, [4 + key * 1.5 + 8, y + key - 1], ink, {
        size: smallText,
      }),
    );
    y += textSize + 8;
  }
  return { body, bottom: y };
}

export function drawMoney(bid: BidFigures, { width, ink, id }: Canvas): Drawing | NotYet {
  const { money: sums, currency } = bid;
  if (isMissing(sums)) return sums;
  if (sums.withTax <= 0) {
    return {
      missing:
        "The bid has no price yet: fill in Site, choose materials on Quantities and enter paces and costs on Order, then the money is drawn here.",
    };
  }
  const total = money(sums.withTax, currency);
  const parts = toldParts(sums, currency);
  const places = placesFor(parts, total, width);
  const bars = drawParts(parts, places, 28, ink);
  const legend = drawKey(parts, sums.withTax, bars.bottom + 8, ink);
  const body = [
    label("Price with tax", [4, 16], ink, { bold: true }),
    label(total, [places.sumAt, 16], ink, { anchor: "end", bold: true }),
    label("100.0 %", [places.shareAt, 16], ink, { anchor: "end", bold: true }),
    ...bars.body,
    ...legend.body,
  ];
  const height = legend.bottom + 2;
  const title = "Where the money goes";
  const description = `Of ${total} with tax: ${listed(parts.map(({ name, sum, share }) => `${name} ${sum} (${share})`))}.`;
  return {
    ...picture({ id, title, description, width, height, ink }, body),
    table: {
      caption: "Parts of the price with tax",
      heads: ["Part", "Amount", "Share"],
      rows: [
        ...parts.map(({ name, sum, share }) => [name, sum, share]),
        ["Price with tax", total, "100.0 %"],
      ],
    },
  };
}

/** How many bags of topdressing the bid takes, and at what loss or depth it takes one more. */
import { topdressBags } from "../../engine/topdress/topdress-bags";
import type { UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import { answerOf } from "../formulas";
import { perCent, short } from "./figures";
import type { BagFigures } from "./read-bid";
import { reachOf, stairs } from "./stairs";
import type { Stair } from "./stairs";

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

/** What the drawings are drawn from, without what may be called otherwise. */
import type { BidFigures } from "../../../src/workbook/drawings/read-bid";
import { held } from "../drawings/figures";

const unnamed = <T extends { readonly name: string }>(one: T) => ({ ...one, name: "" });

/** The figures of a bid without what its sheets and steps are called. */
export function figuresOf(bid: BidFigures) {
  const { steps, ...money } = held(bid.money);
  const { steps: day, later, ...time } = held(bid.time);
  return {
    property: bid.property,
    site: held(bid.site),
    money: [money, steps.map(unnamed)],
    bags: held(bid.bags),
    time: [time, day.map(unnamed), later.map(unnamed)],
  };
}

/** Carries what a job really took into the price book and the paces, so that the next bid reckons with it. */
import type { RequestContext } from "../host";
import { blockOf, WorkbookTrouble } from "../host";
import { asWork } from "../work";
import { writeAndLook } from "../writing";
import type { MarkedSheet } from "./find-bids";
import { bidsOf, bidWith, readSteadily, sheetOf } from "./find-bids";
import { workSteps } from "./job";
import type { ReadBid } from "./read";
import { readFound } from "./read";
import { steps } from "./sheets/costs";
import { topdressings } from "./sheets/price-book";
import { screened, taken } from "./sheets/review";

export interface CarriedFigure {
  readonly sheet: string;
  readonly address: string;
  /** What it is: the material or the step. */
  readonly name: string;
  readonly before: unknown;
  readonly now: number;
}

type Place = Pick<CarriedFigure, "sheet" | "address" | "before">;

const carriedTo = (
  place: Place | undefined,
  name: string,
  now: number | undefined,
): readonly CarriedFigure[] =>
  place === undefined || now === undefined || now <= 0 ? [] : [{ ...place, name, now }];

/** What the screen really kept, to the topdressing of that name in the price book. */
function realLoss(bid: ReadBid): readonly CarriedFigure[] {
  if (!bid.hasRow(screened, "topdress")) return [];
  const kept = bid.row(screened, "topdress");
  const name = kept.get("material");
  const book = bid.rows(topdressings).find((one) => one.get("name") === name);
  const place = book && { ...book.place("screenLoss"), before: book.raw("screenLoss") };
  return carriedTo(place, name, kept.get("realLoss"));
}

/** How fast each step really went, to its pace in the order. */
const realPaces = (bid: ReadBid): readonly CarriedFigure[] =>
  workSteps
    .filter((step) => bid.hasRow(taken, step) && bid.hasRow(steps, step))
    .flatMap((step) => {
      const planned = bid.row(steps, step);
      const place = { ...planned.place("pace"), before: planned.raw("pace") };
      return carriedTo(place, planned.get("step"), bid.row(taken, step).get("pace"));
    });

/** The bid whose review is open, or else the last that has one. */
async function readReviewed(context: RequestContext, marked: readonly MarkedSheet[]): Promise<ReadBid> {
  const active = context.workbook.worksheets.getActiveWorksheet();
  active.load("name");
  await context.sync();
  const bids = bidsOf(marked).filter((bid) => read.every((which) => sheetOf(bid, which) !== undefined));
  const bid = bidWith(bids, active.name) ?? bids[bids.length - 1];
  if (bid === undefined) {
    throw new WorkbookTrouble(
      "There is no review with its materials and order: write the bid sheets, fill in Review, then carry it over.",
    );
  }
  return readFound(context, bid, read, active.name);
}

const read = ["review", "materials", "order"] as const;

/** Writes the real screen loss into Materials and the real paces into Order, in one step; answers with what changed. */
export const carryReview = (): Promise<readonly CarriedFigure[]> =>
  asWork({ work: "review" }, async (context, mark) => {
    const bid = await readSteadily(context, (marked) => readReviewed(context, marked));
    const carried = [...realLoss(bid), ...realPaces(bid)];
    if (carried.length === 0) {
      throw new WorkbookTrouble(
        `${bid.sheet("review").name} holds no real figures yet: enter what was opened and screened out, and the crew hours taken.`,
      );
    }
    await writeAndLook(
      context,
      mark,
      carried.flatMap(({ sheet, address, before, now }) => {
        const block = blockOf(address);
        const worksheet = context.workbook.worksheets.getItem(sheet);
        return block === undefined
          ? []
          : [{ sheet: worksheet, top: block.top, left: block.left, rows: [[now]], held: before }];
      }),
    );
    return carried;
  });

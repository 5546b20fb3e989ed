/** Workbooks that several tests of a file begin with: made by the first of them, opened as copies by the others. */
import type { Workbench } from "../../src/workbench/node";
import type { BidOptions, BidResult } from "../../src/workbook/bid/write-bid";
import { writeBid } from "../../src/workbook/bid/write-bid";
import { unwatched } from "./built-workbench";

interface Made {
  readonly told: unknown;
  readonly copy: object;
}

const made = new Map<string, Made>();

/** Opens what `make` makes in an empty workbook, and answers what it told. */
export async function openMade<Told>(
  bench: Workbench,
  what: string,
  make: () => Promise<Told>,
): Promise<Told> {
  const found = made.get(what);
  if (found === undefined) {
    bench.reset();
    const told = await make();
    await bench.calculated();
    made.set(what, { told, copy: structuredClone(bench.copy()) });
    return told;
  }
  bench.open(structuredClone(found.copy));
  await bench.calculated();
  return found.told as Told;
}

/** Opens a bid as it is written into an empty workbook. */
export const openBid = (bench: Workbench, options: BidOptions): Promise<BidResult> =>
  openMade(bench, JSON.stringify(options), () => writeBid(options, unwatched));

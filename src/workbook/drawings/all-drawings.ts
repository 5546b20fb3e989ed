/** The drawings of a bid in the order of the pane, and on which of its sheets each belongs. */
import type { BidSheet } from "../bid";
import type { Pause, Pieces } from "../host";
import { inSlices } from "../host";
import { drawBags } from "./bags";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { drawMoney } from "./money";
import { drawPlan } from "./plan";
import type { BidFigures } from "./read-bid";
import { drawTimeline } from "./timeline";

export interface DrawingChoices {
  /** Bags that are driven at once, where the estimator says so. */
  readonly perLoad: number | undefined;
}

export interface DrawingKind {
  readonly title: string;
  /** Sheets that it may be put on: those of the crew and of the estimator, never the client's. */
  readonly sheets: readonly Exclude<BidSheet, "bid">[];
  /** Whether it is for those who get the sheet on paper, or for the estimator's eyes only. */
  readonly isPrinted: boolean;
  /** What may be long is drawn in pieces. */
  readonly draw: (bid: BidFigures, canvas: Canvas, choices: DrawingChoices) => Drawn | Pieces<Drawn>;
}

type Drawn = Drawing | NotYet;

export const drawingKinds = {
  plan: { title: "Plan of the property", sheets: ["crew", "site"], isPrinted: true, draw: drawPlan },
  timeline: { title: "Order of work", sheets: ["crew"], isPrinted: true, draw: drawTimeline },
  money: { title: "Where the money goes", sheets: ["order"], isPrinted: false, draw: drawMoney },
  bags: {
    title: "Bags against screen loss and depth",
    sheets: ["quantities"],
    isPrinted: false,
    draw: (bid, canvas, { perLoad }) => drawBags(bid, canvas, perLoad),
  },
} as const satisfies Record<string, DrawingKind>;

export type DrawingId = keyof typeof drawingKinds;
export const drawingIds = Object.keys(drawingKinds) as DrawingId[];

/** A drawing of the bid, giving way while it is drawn. */
export async function drawnFrom(
  id: DrawingId,
  bid: BidFigures,
  canvas: Canvas,
  choices: DrawingChoices,
  pause: Pause,
): Promise<Drawing | NotYet> {
  const kind: DrawingKind = drawingKinds[id];
  const drawn = kind.draw(bid, canvas, choices);
  return "next" in drawn ? inSlices(drawn, pause) : drawn;
}

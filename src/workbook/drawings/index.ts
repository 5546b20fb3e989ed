/** Drawings of the job. */
export type { DrawingId } from "./all-drawings";
export { drawingIds, drawingKinds, drawnFrom } from "./all-drawings";
export type { Drawing, FigureTable, NotYet } from "./drawing";
export { isDrawing } from "./drawing";
export { canPutPictures, putOnSheet } from "./on-sheet";
export type { BidFigures, BidsFound } from "./read-bid";
export { readBid } from "./read-bid";
export { paperInk, themeInk } from "./svg";

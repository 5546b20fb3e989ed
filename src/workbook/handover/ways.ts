/**
 * Every way of handing over: for whom, by what, in which words. The pane offers what stands here, the files are made by
 * it and the tests go through it; a further way is a further record.
 */
import type { BidSheet } from "../bid";
import { partName, purchases } from "../bid";
import type { DrawingId } from "../drawings";

interface Worded {
  /** For whom, as it is chosen. */
  readonly label: string;
  /** On the button that does it. */
  readonly button: string;
  /** What it does or tells, in a sentence or two. */
  readonly told: string;
}

/** Our functions become ordinary formulas; all else of the workbook stays as it is. */
export interface FormulasWay extends Worded {
  readonly by: "formulas";
  /** Whether each cell carries its original. */
  readonly comesBack: boolean;
}

/** A file that is written anew from what one reader is to see. */
export interface ReaderWay extends Worded {
  readonly by: "a file for one reader";
  /** Which sheets of a bid the reader gets, and of which only some columns. */
  readonly sheets: Readonly<Partial<Record<BidSheet, { readonly columns?: readonly string[] }>>>;
  readonly drawings: readonly DrawingId[];
  /** The file's name where the person has to save it. */
  readonly fileName: string;
  /** Whether they may want to change a figure and see what follows. */
  readonly mayHoldFormulas: boolean;
  /** Whether the working of our figures may go along. */
  readonly mayHoldWorking: boolean;
}

/** Copies of sheets with what they show now. */
export interface CopiesWay extends Worded {
  readonly by: "values beside";
}

export type Way = FormulasWay | ReaderWay | CopiesWay;

const drawings = ["plan", "timeline"] as const;

/** What a supplier is told of the order. */
const delivered = [
  "material",
  "step",
  "unit",
  "size1",
  "size2",
  "size3",
  "packs1",
  "packs2",
  "packs3",
  "bought",
  "supplier",
] as const;

const allSeen = "Costs, wages and margins are seen as they are here.";

export const ways = {
  "native formulas": {
    by: "formulas",
    label: "An office that edits: ordinary formulas, which can be brought back",
    button: "Hand over as ordinary formulas",
    told: `Our functions become ordinary formulas that recalculate for anyone. Each cell says what stood there, so they can be brought back, whoever edits the file. ${allSeen}`,
    comesBack: true,
  },
  "short native formulas": {
    by: "formulas",
    label: "The same in short formulas, which cannot be brought back",
    button: "Hand over as short formulas",
    told: `Our functions become ordinary formulas that recalculate for anyone, and nothing else. They cannot be brought back. ${allSeen}`,
    comesBack: false,
  },
  client: {
    by: "a file for one reader",
    label: "The client",
    button: "Make the file for the client",
    told: "The bid and the watering schedule: what is done, the client's prices and dates; no cost, wage or margin.",
    sheets: { bid: {}, watering: {} },
    drawings,
    fileName: "For the client",
    mayHoldFormulas: false,
    mayHoldWorking: false,
  },
  crew: {
    by: "a file for one reader",
    label: "The crew",
    button: "Make the file for the crew",
    told: "The day in order, the record of application and the watering schedule; no price, cost, wage or margin.",
    sheets: { crew: {}, record: {}, watering: {} },
    drawings,
    fileName: "For the crew",
    mayHoldFormulas: true,
    mayHoldWorking: false,
  },
  supplier: {
    by: "a file for one reader",
    label: "A supplier",
    button: "Make the file for a supplier",
    told: "What to deliver, in packs; no price, no cost, not what is needed or in stock.",
    sheets: { order: { columns: delivered.map((id) => partName(purchases.id, id)) } },
    drawings: [],
    fileName: "For the supplier",
    mayHoldFormulas: false,
    mayHoldWorking: false,
  },
  own: {
    by: "a file for one reader",
    label: "My own choice of sheets",
    button: "Make the file",
    told: "The sheets that you tick, each as it prints.",
    sheets: {},
    drawings,
    fileName: "Handed over",
    mayHoldFormulas: true,
    mayHoldWorking: true,
  },
  beside: {
    by: "values beside",
    label: "Nobody yet: values on new sheets beside these",
    button: "Add the sheets",
    told: "A copy of each sheet that you tick, with the numbers it shows now; the sheets themselves stay as they are. To send them to anyone, make a file: this workbook holds everything else as well.",
  },
} as const satisfies Readonly<Record<string, Way>>;

type Ways = typeof ways;
export type WayId = keyof Ways;

/** The ways that go by one of these. */
type By<What extends Way["by"]> = { [Id in WayId]: Ways[Id]["by"] extends What ? Id : never }[WayId];

export type HandOverWay = By<"formulas">;
export type ReaderId = By<"a file for one reader">;

export const isFormulasWay = (id: WayId): id is HandOverWay => ways[id].by === "formulas";
export const isReader = (id: WayId): id is ReaderId => ways[id].by === "a file for one reader";

export const handOverWays = (Object.keys(ways) as WayId[]).filter(isFormulasWay);
export const readerIds = (Object.keys(ways) as WayId[]).filter(isReader);

/** A sheet of a bid, said once: what it is called and for, what it holds, how it is laid out. */
import type { PlannedSheets } from "../bid-sheets";
import type { Kit } from "../kit";
import type { SheetPlan } from "../plan";
import type { tabColours } from "../styles";
import type { Figures } from "./figures";
import type { Table } from "./table";

export interface Sheet<Refs = void> {
  /** What it is called where that is free. */
  readonly name: string;
  /** What it is, as its second line says. */
  readonly purpose: string;
  /** How it is read, as its third line says where not as most are. */
  readonly legend?: string;
  readonly tab: keyof typeof tabColours;
  /** Whether it tells costs even as it prints. */
  readonly tellsCosts: boolean;
  readonly tables: readonly Table[];
  readonly figures: readonly Figures[];
  /** Lays it out under its head, and answers with what other sheets refer to; one that is asked for is laid out then. */
  readonly plan: (kit: Kit, plan: SheetPlan, others: PlannedSheets) => Refs;
}

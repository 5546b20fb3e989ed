/** What a handed-over copy is to be. */
import type { HandOverWay } from "../ways";
import { ways } from "../ways";

export interface FileCopyOptions {
  /** The sheets to hand over; all of them where none is named. */
  readonly sheets?: readonly string[];
  readonly mode: HandOverWay | "values";
  /** Our own very hidden sheet is left out of the copy. */
  readonly withoutOurOwn?: boolean;
  /** A sheet that lists what was typed is added where the cells carry their originals. */
  readonly withList?: boolean;
}

export const comesBack = (mode: FileCopyOptions["mode"]): boolean =>
  mode !== "values" && ways[mode].comesBack;

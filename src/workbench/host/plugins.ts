import { registerEntering } from "./entering";
import { registerKeptState } from "./kept-state";
import { registerSettling } from "./settling";
import type { Spreadsheet } from "./spreadsheet";
import { registerBatches, registerHistory } from "./undo-batch";

const registered = new WeakSet<object>();

/** Adds the host's plug-ins to a spreadsheet library, once. */
export function registerPlugins(library: Spreadsheet): void {
  if (registered.has(library)) return;
  registered.add(library);
  registerBatches(library);
  registerKeptState(library);
  registerSettling(library);
  registerEntering(library);
  registerHistory(library);
}

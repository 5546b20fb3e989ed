/** Works that were left half done: finished, or taken back. */
export type { Settled } from "./settle";
export { finishWork, takeBackWork } from "./settle";

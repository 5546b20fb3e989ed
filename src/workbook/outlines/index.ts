/** Outlines from map files. */
export type { BroughtIn } from "./bring-outlines";
export { bringOutlines } from "./bring-outlines";
export { fileText } from "./file-text";
export { onPlane } from "./plane";
export { largestFile } from "./read-outlines";

import { createRequire } from "node:module";
import type { XlsxCodec } from "../workbench";
import { readXlsx } from "./read";
import { writeXlsx } from "./write";

interface Jsdom {
  JSDOM: new () => { window: { DOMParser: unknown; XMLSerializer: unknown } };
}

let ready = false;

/** A browser has a DOM; Node borrows one the first time a file is written or read. */
function borrowDom(): void {
  if (ready) return;
  const { JSDOM } = createRequire(import.meta.url)("jsdom") as Jsdom;
  const { DOMParser, XMLSerializer } = new JSDOM().window;
  Object.assign(globalThis, { DOMParser, XMLSerializer });
  ready = true;
}

export const nodeXlsx: XlsxCodec = {
  async write(session) {
    borrowDom();
    return writeXlsx(session);
  },
  async read(session, bytes) {
    borrowDom();
    await Promise.resolve(readXlsx(session, bytes));
  },
};

import type { XlsxCodec } from "../workbench";

export const nodeXlsx: XlsxCodec = {
  write: () => Promise.reject(new Error("not yet")),
  read: () => Promise.reject(new Error("not yet")),
};

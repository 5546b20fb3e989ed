import { createRequire } from "node:module";
import type { Spreadsheet } from "../host/spreadsheet";

const require = createRequire(import.meta.url);

/** The mean advance of a letter, as a share of the font's size; there is no screen to measure on. */
const LETTER_WIDTH = 0.55;

/** Loads the unmodified spreadsheet into this Node realm. */
export function loadSpreadsheet(): Spreadsheet {
  const realm = globalThis as { owl?: unknown };
  // Its components expect to find owl as a global.
  realm.owl ??= require("@odoo/owl");
  fillInForOlderNode();
  measureByLetters();
  return require("@odoo/o-spreadsheet") as Spreadsheet;
}

type Groups = Record<string, unknown[]>;

/** The spreadsheet is written for Node 22, which brought this one function that Node 20 lacks. */
function fillInForOlderNode(): void {
  const groupBy = (items: Iterable<unknown>, keyOf: (item: unknown, index: number) => string): Groups => {
    const groups = Object.create(null) as Groups;
    let index = 0;
    for (const item of items) (groups[keyOf(item, index++)] ??= []).push(item);
    return groups;
  };
  (Object as { groupBy?: typeof groupBy }).groupBy ??= groupBy;
}

/** Lets columns be fitted to their text without a screen. */
function measureByLetters(): void {
  class LetterContext {
    font = "";

    save(): void {
      // Nothing is drawn, so there is no drawing state to save.
    }

    restore(): void {
      // As above.
    }

    measureText(text: string) {
      const size = Number(/([\d.]+)px/.exec(this.font)?.[1] ?? 13);
      return { width: text.length * size * LETTER_WIDTH };
    }
  }
  class LetterCanvas {
    getContext(kind: string): LetterContext | null {
      return kind === "2d" ? new LetterContext() : null;
    }
  }
  (globalThis as { OffscreenCanvas?: unknown }).OffscreenCanvas ??= LetterCanvas;
}

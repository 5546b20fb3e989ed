/** XML changed while it passes by, so that no more of it is held than what may change yet. */
import type { Splice } from "./xml";
import { spliced } from "./xml";
import type { XmlElement } from "./xml-element";
import type { Text } from "./xml-walk";
import { inPortions, Walker, trouble } from "./xml-walk";

/** A text on its way through. */
export interface Passage {
  /** What stands between two places; from where the text is held, or from the tag at hand. */
  textOf(start: number, end: number): string;
  replace(splice: Splice): void;
}

export interface PassageVisitor {
  open?(element: XmlElement, passage: Passage): void;
  close?(element: XmlElement, passage: Passage): void;
  /** Whether an element is still to be changed when it closes, and so is not let go before. */
  holds?(element: XmlElement): boolean;
}

/** No cell and no formula of a workbook is as long. */
const longestHeld = 8_000_000;

/** The text piece by piece with what a visitor replaces in it; no more of it is held than what may change yet. */
export function* passing(part: string, xml: Text, visitor: PassageVisitor): Generator<string> {
  let held = "";
  let from = 0;
  let splices: Splice[] = [];
  const holding: XmlElement[] = [];
  const passage: Passage = {
    textOf: (start, end) => held.slice(start - from, end - from),
    replace: (splice) => splices.push(splice),
  };
  function* noted(): Generator<string> {
    for (const piece of inPortions(xml)) {
      held += piece;
      yield piece;
    }
  }
  const walker = new Walker(part, {
    open: (element) => {
      visitor.open?.(element, passage);
      if (visitor.holds?.(element) === true) holding.push(element);
    },
    close: (element) => {
      visitor.close?.(element, passage);
      if (holding[holding.length - 1] === element) holding.pop();
    },
  });
  const reading = walker.reading(noted());
  for (;;) {
    const step = reading.next();
    const { done } = step;
    // A tag that is not read to its end may be asked for.
    const upTo =
      step.done === true
        ? from + held.length
        : (holding[0]?.start ?? Math.min(step.value, from + held.lastIndexOf("<")));
    if (upTo - from > 0) {
      const isOver = ({ start }: Splice): boolean => done === true || start < upTo;
      const here = splices.filter(isOver);
      splices = splices.filter((splice) => !isOver(splice));
      yield spliced(
        held.slice(0, upTo - from),
        here.map(({ start, end, text }) => ({ start: start - from, end: end - from, text })),
      );
      held = held.slice(upTo - from);
      from = upTo;
    }
    if (done === true) return;
    if (held.length > longestHeld)
      trouble(part, "holds a cell that is longer than any workbook's: it is not opened.");
  }
}

/** The few DOM operations the file parts are corrected with; the globals come from the browser or from jsdom. */

export const MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

export const parseXml = (text: string): Document => new DOMParser().parseFromString(text, "text/xml");

export function serializeXml(document: Document): string {
  const text = new XMLSerializer().serializeToString(document);
  return text.startsWith("<?xml") ? text : `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>${text}`;
}

/** Walks element by element: a live collection would be brought up to date after every change. */
export function children(parent: Document | Element): Element[] {
  const found: Element[] = [];
  for (let child = parent.firstElementChild; child; child = child.nextElementSibling) found.push(child);
  return found;
}

export function all(parent: Document | Element, name: string): Element[] {
  const found: Element[] = [];
  const collect = (element: Document | Element) => {
    for (let child = element.firstElementChild; child; child = child.nextElementSibling) {
      if (child.localName === name) found.push(child);
      collect(child);
    }
  };
  collect(parent);
  return found;
}

export const first = (parent: Document | Element, name: string): Element | undefined => all(parent, name)[0];

export type Attributes = Readonly<Record<string, string | number | undefined>>;

export function setAttributes(element: Element, attributes: Attributes): Element {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== undefined) element.setAttribute(name, String(value));
  }
  return element;
}

/** A new element of the spreadsheet's own vocabulary. */
export function create(
  document: Document,
  name: string,
  attributes: Attributes = {},
  text?: string,
): Element {
  const element = setAttributes(document.createElementNS(MAIN, name), attributes);
  if (text !== undefined) element.textContent = text;
  return element;
}

/** Puts an element among its siblings where the format's fixed order wants it, in place of any of its name. */
export function place(parent: Element, element: Element, order: readonly string[]): void {
  const rank = (other: Element) => order.indexOf(other.localName);
  for (const other of children(parent)) if (other.localName === element.localName) other.remove();
  const after = children(parent).find((other) => rank(other) > rank(element));
  parent.insertBefore(element, after ?? null);
}

/** Characters that no file can hold as they are, and a return, which would be read as the end of a line. */
const UNWRITABLE = /[\0-\x08\x0b-\x1f\ufffe\uffff]/;
/** What may be read as an escape once such characters are escaped, by a reader as well that takes fewer figures. */
const TO_ESCAPE = /_(?=x[0-9a-f]{1,4}[_\0-\x08\x0b-\x1f\ufffe\uffff])|[\0-\x08\x0b-\x1f\ufffe\uffff]/gi;

export const holdsUnwritable = (text: string): boolean => UNWRITABLE.test(text);

/**
 * Characters that no file can hold stand in it by their numbers; text that looks like such an escape is told from one
 * by an escape of its first letter.
 */
export const escaped = (text: string): string =>
  text.replace(
    TO_ESCAPE,
    (letter) => `_x${letter.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}_`,
  );

export const unescaped = (text: string): string =>
  text.replace(/_x([0-9a-f]{4})_/gi, (_, code: string) => String.fromCharCode(parseInt(code, 16)));

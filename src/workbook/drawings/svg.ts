/** SVG as text: elements, escaped texts, and how much room a text takes where no page can measure it. */

/**
 * The colours of a drawing. On a sheet they are told outright, since a sheet knows no theme; in the pane they are those
 * of the page, which may be dark or of high contrast. Nothing is told by colour alone.
 */
export interface Ink {
  readonly line: string;
  readonly paper: string;
  /** A light filling, told apart from the paper by its edge. */
  readonly fill: string;
  readonly strongFill: string;
}

export const paperInk: Ink = { line: "#1f2a22", paper: "#ffffff", fill: "#e3ede5", strongFill: "#a9c6b0" };

export const themeInk: Ink = {
  line: "currentColor",
  paper: "var(--drawing-paper)",
  fill: "var(--drawing-fill)",
  strongFill: "var(--drawing-strong-fill)",
};

const marks: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&apos;",
};

/** What XML 1.0 has no way to write at all: control characters, halves of a pair, two noncharacters. */
const unwritable =
  /[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\uD800-\uDFFF]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;

const escaped = (text: string): string =>
  text.replace(unwritable, "").replace(/[&<>"']/g, (mark) => marks[mark] ?? mark);

export type Attributes = Readonly<Record<string, string | number>>;

/** Two decimals of a pixel are finer than any screen or printer. */
const attribute = (value: string | number): string =>
  typeof value === "number" ? String(Number(value.toFixed(2))) : escaped(value);

/** An element; what is inside is SVG already, or a text that was escaped. */
export const element = (name: string, attributes: Attributes, ...inside: readonly string[]): string => {
  const given = Object.entries(attributes).map(([key, value]) => ` ${key}="${attribute(value)}"`);
  return inside.length === 0
    ? `<${name}${given.join("")}/>`
    : `<${name}${given.join("")}>${inside.join("")}</${name}>`;
};

export type Point = readonly [x: number, y: number];

const at = ([x, y]: Point): string => `${attribute(x)} ${attribute(y)}`;

/** Closed rings, one path. */
export const ringsPath = (rings: readonly (readonly Point[])[]): string =>
  rings.map((ring) => `M${ring.map(at).join("L")}Z`).join("");

export const linesPath = (lines: readonly (readonly Point[])[]): string =>
  lines.map((line) => `M${line.map(at).join("L")}`).join("");

export const textSize = 12;
export const smallText = 11;

const narrow = /[ijltfrI.,:;|'!()[\]·]/;
const broad = /[mwMWOQ@%–—…]/;
const capital = /[A-Z0-9$€£²³±×÷&+=]/;

/** Wide enough for the common sans serif faces, so that no text is clipped. */
const characterWidth = (character: string): number => {
  if (character === " " || narrow.test(character)) return 0.34;
  if (broad.test(character)) return 0.92;
  return capital.test(character) ? 0.66 : character > "\u2000" ? 1 : 0.57;
};

export const textWidth = (text: string, size = textSize): number =>
  [...text].reduce((width, character) => width + characterWidth(character), 0) * size;

/** A text cut to a width, with an ellipsis where it was cut. */
export function fitted(text: string, width: number, size = textSize): string {
  if (textWidth(text, size) <= width) return text;
  const characters = [...text];
  while (characters.length > 1 && textWidth(`${characters.join("").trimEnd()}…`, size) > width)
    characters.pop();
  return `${characters.join("").trimEnd()}…`;
}

/** A sentence in lines of a width, broken between words; a word that is wider is cut. */
export function wrapped(text: string, width: number, size = textSize): readonly string[] {
  const lines: string[] = [];
  for (const word of text.split(/\s+/).filter((one) => one !== "")) {
    const last = lines[lines.length - 1];
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && textWidth(longer, size) <= width) lines[lines.length - 1] = longer;
    else lines.push(fitted(word, width, size));
  }
  return lines;
}

export interface TextOptions {
  readonly anchor?: "start" | "middle" | "end";
  readonly size?: number;
  readonly bold?: boolean;
}

/** A text on its base line. */
export const label = (
  text: string,
  [x, y]: Point,
  ink: Ink,
  { anchor = "start", size = textSize, bold = false }: TextOptions = {},
): string =>
  element(
    "text",
    {
      x,
      y,
      fill: ink.line,
      "font-size": size,
      ...(anchor === "start" ? {} : { "text-anchor": anchor }),
      ...(bold ? { "font-weight": "bold" } : {}),
    },
    escaped(text),
  );

/** Slanted lines over a box, drawn one by one: not every program that shows SVG knows patterns. */
export function hatch(
  [left, top]: Point,
  [width, height]: Point,
  spacing: number,
): readonly (readonly Point[])[] {
  const lines: (readonly Point[])[] = [];
  for (let along = spacing / 2; along < width + height; along += spacing) {
    const from = Math.max(0, along - height);
    const to = Math.min(width, along);
    if (to > from) {
      lines.push([
        [left + from, top + along - from],
        [left + to, top + along - to],
      ]);
    }
  }
  return lines;
}

interface Frame {
  /** Sets the ids inside this drawing apart from those of others on the page. */
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly width: number;
  readonly height: number;
  readonly ink: Ink;
}

export interface Picture {
  readonly title: string;
  /** What the picture shows, in sentences. */
  readonly description: string;
  readonly svg: string;
  readonly width: number;
  readonly height: number;
}

/** The whole picture, with what a screen reader says for it. */
export function picture(
  { id, title, description, width, height, ink }: Frame,
  body: readonly string[],
): Picture {
  const svg = element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      role: "img",
      "aria-labelledby": `${id}-title ${id}-desc`,
      viewBox: `0 0 ${attribute(width)} ${attribute(height)}`,
      width,
      height,
      "font-family": "Segoe UI, Arial, Helvetica, sans-serif",
    },
    element("title", { id: `${id}-title` }, escaped(title)),
    element("desc", { id: `${id}-desc` }, escaped(description)),
    element("rect", { width, height, fill: ink.paper }),
    ...body,
  );
  return { title, description, svg, width, height };
}

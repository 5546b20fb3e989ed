/** Reads a drawing back from its text, as a program that shows it would; text that is no XML is refused. */
import { SaxesParser } from "saxes";

export interface SvgElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  /** All text inside, that of inner elements too. */
  readonly text: string;
}

export function readSvg(xml: string): readonly SvgElement[] {
  const parser = new SaxesParser();
  const found: { name: string; attributes: Record<string, string>; text: string }[] = [];
  const open: (typeof found)[number][] = [];
  parser.on("error", (error) => {
    throw error;
  });
  parser.on("opentag", ({ name, attributes }) => {
    const element = { name, attributes: attributes as Record<string, string>, text: "" };
    found.push(element);
    open.push(element);
  });
  parser.on("text", (text) => open.forEach((element) => (element.text += text)));
  parser.on("closetag", () => open.pop());
  parser.write(xml).close();
  return found;
}

export const textsOf = (svg: readonly SvgElement[]): readonly string[] =>
  svg.filter(({ name }) => name === "text").map(({ text }) => text);

/** The rings of a path that only has straight sides. */
export const ringsOf = (path: string): readonly (readonly (readonly [number, number])[])[] =>
  path
    .split("M")
    .slice(1)
    .map((ring) =>
      ring
        .replace("Z", "")
        .split("L")
        .map((point) => {
          const [x = Number.NaN, y = Number.NaN] = point.trim().split(" ").map(Number);
          return [x, y] as const;
        }),
    );

/** Gauss's area formula, written out here so that nothing of the drawings checks itself. */
export const shoelace = (ring: readonly (readonly [number, number])[]): number =>
  Math.abs(
    ring.reduce((sum, [x, y], i) => {
      const [nextX, nextY] = ring[(i + 1) % ring.length] ?? [x, y];
      return sum + x * nextY - nextX * y;
    }, 0),
  ) / 2;

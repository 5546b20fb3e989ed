/** The count of bags over one figure, as stairs between two axes. */
import type { ScaleLinear } from "d3-scale";
import { scaleLinear } from "d3-scale";
import { whole } from "./figures";
import type { Ink, Point } from "./svg";
import { element, label, linesPath, smallText, textWidth } from "./svg";
import type { BagCurve } from "./bag-model";

export const bagText = (bags: number): string => `${whole(bags)} ${bags === 1 ? "bag" : "bags"}`;

export const chartHeight = 190;
const edge = { left: 40, right: 12, top: 24, bottom: 24 } as const;

function axes(
  [left, top]: Point,
  [right, bottom]: Point,
  x: {
    readonly at: (value: number) => number;
    readonly ticks: readonly number[];
    readonly text: (value: number, isLast: boolean) => string;
  },
  y: { readonly at: (value: number) => number; readonly ticks: readonly number[] },
  ink: Ink,
): readonly string[] {
  const small = { size: smallText } as const;
  const thin = { fill: "none", stroke: ink.line, "stroke-width": 0.5, "stroke-opacity": 0.35 } as const;
  return [
    element("path", {
      d: linesPath(
        y.ticks.map((tick) => [
          [left, y.at(tick)],
          [right, y.at(tick)],
        ]),
      ),
      ...thin,
    }),
    element("path", {
      d: linesPath([
        [
          [left, top],
          [left, bottom],
          [right, bottom],
        ],
        ...x.ticks.map(
          (tick) =>
            [
              [x.at(tick), bottom],
              [x.at(tick), bottom + 4],
            ] as const,
        ),
      ]),
      fill: "none",
      stroke: ink.line,
    }),
    ...y.ticks.map((tick) =>
      label(whole(tick), [left - 6, y.at(tick) + 4], ink, { ...small, anchor: "end" }),
    ),
    ...x.ticks.map((tick, i) =>
      label(x.text(tick, i === x.ticks.length - 1), [x.at(tick), bottom + 16], ink, {
        ...small,
        anchor: "middle",
      }),
    ),
  ];
}

/** A text on the paper's own colour, in front of what it stands over. */
function tag(
  text: string,
  [x, y]: Point,
  anchor: "start" | "end",
  ink: Ink,
  bold = false,
): readonly string[] {
  const wide = textWidth(text, smallText) + 4;
  return [
    element("rect", {
      x: anchor === "start" ? x - 2 : x - wide + 2,
      y: y - smallText,
      width: wide,
      height: smallText + 4,
      fill: ink.paper,
    }),
    label(text, [x, y], ink, { size: smallText, anchor, bold }),
  ];
}

/** Where a chart's axes stand, and how its figures and counts become places between them. */
interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: ScaleLinear<number, number>;
  readonly y: ScaleLinear<number, number>;
}

function frameFor({ steps, from, to }: BagCurve, [left, top]: Point, width: number): Frame {
  const [x0, x1] = [left + edge.left, left + width - edge.right];
  const [y0, y1] = [top + chartHeight - edge.bottom, top + edge.top];
  const counts = steps.map(({ count }) => count);
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  const room = Math.max(1, (most - least) * 0.08);
  return {
    left: x0,
    right: x1,
    top: y1,
    bottom: y0,
    x: scaleLinear([from, to], [x0, x1]),
    y: scaleLinear([Math.max(0, least - room), most + room], [y0, y1]),
  };
}

/**
 * How many bags fill one load, two, and so on. The stairs climb to the right, so above the bid there is room on the left
 * and below it on the right.
 */
function loadLines(
  { left, right, y }: Frame,
  perLoad: number,
  isOnLeft: (bags: number) => boolean,
  ink: Ink,
): readonly string[] {
  const [low = 0, high = 0] = y.domain();
  const loads = Array.from({ length: Math.floor(high / perLoad) }, (_, i) => i + 1).filter(
    (n) => n * perLoad >= low,
  );
  return loads.flatMap((n) => {
    const height = y(n * perLoad);
    const onLeft = isOnLeft(n * perLoad);
    return [
      element("path", {
        d: linesPath([
          [
            [left, height],
            [right, height],
          ],
        ]),
        stroke: ink.line,
        "stroke-width": 1.5,
        "stroke-dasharray": "8 3 2 3",
        fill: "none",
      }),
      ...tag(
        n === 1 ? "one load" : `${n} loads`,
        [onLeft ? left + 4 : right - 2, height + 14],
        onLeft ? "start" : "end",
        ink,
      ),
    ];
  });
}

function stairLine({ steps }: BagCurve, { x, y }: Frame, ink: Ink): string {
  const points = steps.flatMap(({ from, to, count }): readonly Point[] => [
    [x(from), y(count)],
    [x(to), y(count)],
  ]);
  return element("path", {
    d: linesPath([points]),
    fill: "none",
    stroke: ink.line,
    "stroke-width": 2,
    "stroke-linejoin": "round",
  });
}

/** The bid as it stands: its place on the stairs, and its count. */
function bidMark(bags: number, at: Point, isLeft: boolean, { bottom }: Frame, ink: Ink): readonly string[] {
  return [
    element("path", {
      d: linesPath([[at, [at[0], bottom]]]),
      fill: "none",
      stroke: ink.line,
      "stroke-dasharray": "2 3",
    }),
    element("circle", { cx: at[0], cy: at[1], r: 4.5, fill: ink.paper, stroke: ink.line, "stroke-width": 2 }),
    ...(isLeft
      ? tag(bagText(bags), [at[0] + 10, at[1] + 18], "start", ink, true)
      : tag(bagText(bags), [at[0] - 8, at[1] - 8], "end", ink, true)),
  ];
}

export function chart(
  curve: BagCurve,
  bags: number,
  perLoad: number | undefined,
  [left, top]: Point,
  width: number,
  tickText: (value: number, isLast: boolean) => string,
  ink: Ink,
): readonly string[] {
  const frame = frameFor(curve, [left, top], width);
  const { x, y } = frame;
  const at: Point = [x(curve.present), y(bags)];
  const isLeft = at[0] - frame.left < 80;
  const across = Math.max(3, Math.floor((frame.right - frame.left) / 60));
  return [
    label(curve.heading, [left + 4, top + 13], ink, { bold: true }),
    ...axes(
      [frame.left, frame.top],
      [frame.right, frame.bottom],
      { at: x, ticks: x.ticks(across).filter((tick) => x(tick) < frame.right - 14), text: tickText },
      { at: y, ticks: y.ticks(4).filter(Number.isInteger) },
      ink,
    ),
    ...(perLoad === undefined ? [] : loadLines(frame, perLoad, (count) => count >= bags && !isLeft, ink)),
    stairLine(curve, frame, ink),
    ...bidMark(bags, at, isLeft, frame, ink),
  ];
}

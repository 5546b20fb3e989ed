/** The plan of the property, to scale. */
import { unitText } from "../../engine/units";
import type { Pieces } from "../host";
import type { Canvas, Drawing, NotYet } from "./drawing";
import { listed, oneDecimal, short } from "./figures";
import type { PlacedZone, PlanLayout } from "./plan-layout";
import { areaText, badge, labelLines, layOutPlan } from "./plan-layout";
import type { BidFigures } from "./read-bid";
import { isMissing } from "./read-bid";
import type { Ink, Point } from "./svg";
import {
  element,
  fitted,
  label,
  linesPath,
  picture,
  ringsPath,
  smallText,
  textSize,
  textWidth,
  wrapped,
} from "./svg";

const lineHeight = 16;

function ground(
  { number, outer, holes, inside, firstPasses, crossedPasses }: PlacedZone,
  id: string,
  ink: Ink,
): readonly string[] {
  const lines = (all: readonly (readonly Point[])[], dash: Readonly<Record<string, string>>) =>
    all.length === 0
      ? []
      : [
          element("path", {
            d: linesPath(all),
            fill: "none",
            stroke: ink.line,
            "stroke-width": 0.6,
            "stroke-opacity": 0.55,
            ...dash,
          }),
        ];
  return [
    element("path", {
      id: `${id}-zone-${number}`,
      d: ringsPath([...outer, ...holes]),
      "fill-rule": "evenodd",
      fill: inside.length > 0 ? ink.strongFill : ink.fill,
      stroke: ink.line,
      "stroke-width": 1.5,
      "stroke-linejoin": "round",
    }),
    ...(inside.length === 0
      ? []
      : [element("path", { d: ringsPath([...inside, ...holes]), "fill-rule": "evenodd", fill: ink.fill })]),
    ...lines(firstPasses, {}),
    ...lines(crossedPasses, { "stroke-dasharray": "3 3" }),
  ];
}

/** Name and area on the paper's own colour, so that no line runs through them; a number alone on small ground. */
function zoneLabel(
  { at: [x, y], name, isRoomy, zone }: PlacedZone,
  bid: BidFigures,
  ink: Ink,
): readonly string[] {
  if (!isRoomy) {
    return [
      element("circle", { cx: x, cy: y, r: badge / 2, fill: ink.paper, stroke: ink.line }),
      label(name, [x, y + 4], ink, { anchor: "middle", size: smallText, bold: true }),
    ];
  }
  const area = areaText(zone, bid.system);
  const wide = Math.max(textWidth(name), textWidth(area)) + 4;
  return [
    element("rect", {
      x: x - wide / 2,
      y: y - lineHeight,
      width: wide,
      height: 2 * lineHeight,
      rx: 2,
      fill: ink.paper,
    }),
    label(name, [x, y + labelLines.above], ink, { anchor: "middle", bold: true }),
    label(area, [x, y + labelLines.below], ink, { anchor: "middle" }),
  ];
}

function scaleBar({ bar }: PlanLayout, unit: string, y: number, { id, ink }: Canvas): readonly string[] {
  const from = 4;
  return [
    element("path", {
      id: `${id}-bar`,
      d: linesPath([
        [
          [from, y - 5],
          [from, y],
          [from + bar.pixels, y],
          [from + bar.pixels, y - 5],
        ],
        [
          [from + bar.pixels / 2, y - 4],
          [from + bar.pixels / 2, y],
        ],
      ]),
      fill: "none",
      stroke: ink.line,
      "stroke-width": 1.5,
    }),
    label(`${short(bar.length)} ${unit}`, [from + bar.pixels + 6, y + 1], ink, { size: smallText }),
  ];
}

function northArrow([x, y]: Point, ink: Ink): readonly string[] {
  return [
    label("N", [x, y - 26], ink, { anchor: "middle", bold: true }),
    element("path", {
      d: ringsPath([
        [
          [x, y - 22],
          [x + 6, y],
          [x, y - 5],
          [x - 6, y],
        ],
      ]),
      fill: ink.line,
    }),
  ];
}

const howKnown = ({ known, zone }: PlacedZone): string =>
  zone.leftOut > 0 ? `${known}, less what is left out` : known;

export function* drawPlan(bid: BidFigures, canvas: Canvas): Pieces<Drawing | NotYet> {
  const { width, ink, id } = canvas;
  const { site } = bid;
  if (isMissing(site)) return site;
  const height = Math.min(440, Math.max(240, width * 0.62));
  const layout = yield* layOutPlan(site, bid.system, width, height);
  if (layout === undefined) {
    return {
      missing: "No zone has an area yet: name a zone on Site and measure it, then the plan is drawn here.",
    };
  }
  const { zones, north, notes } = layout;
  const unit = unitText("length", bid.system);
  let y = layout.height + 24;
  const body: string[] = [];
  for (const zone of zones) {
    body.push(...ground(zone, id, ink));
    yield 1;
  }
  body.push(...zones.flatMap((zone) => zoneLabel(zone, bid, ink)), ...scaleBar(layout, unit, y, canvas));
  if (north !== undefined) body.push(...northArrow(north, ink));
  y += 6;
  const line = (text: string, size: number) => body.push(label(text, [4, (y += lineHeight)], ink, { size }));
  for (const zone of zones.filter(({ isRoomy }) => !isRoomy)) {
    const area = `, ${areaText(zone.zone, bid.system)}`;
    const name = zone.zone.name === "" ? "unnamed" : zone.zone.name;
    line(`${fitted(`${zone.number} ${name}`, width - 12 - textWidth(area))}${area}`, textSize);
  }
  for (const note of notes) for (const text of wrapped(note, width - 8, smallText)) line(text, smallText);
  const title = bid.property === "" ? "Plan of the property" : `Plan of ${bid.property}`;
  const description = `${listed(zones.map(({ zone }) => `${zone.name}, ${areaText(zone, bid.system)}`))}, drawn to one scale. ${notes.join(" ")}`;
  return {
    ...picture({ id, title, description, width, height: y + 8, ink }, body),
    table: {
      caption: "Zones of the plan",
      heads: ["Zone", `Area, ${unitText("area", bid.system)}`, "Drawn from"],
      rows: [
        ...zones.map((zone) => [
          `${zone.number} ${zone.zone.name}`,
          oneDecimal(zone.zone.area),
          howKnown(zone),
        ]),
        ...layout.unmeasured.map(({ name }) => [name, "–", "not measured yet"]),
      ],
    },
  };
}

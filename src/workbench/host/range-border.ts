import { invalidArgument } from "../protocol/host-error";
import type { WireObject } from "../protocol/wire-object";
import type { Area } from "./area";
import type { Book } from "./book";

const POSITIONS = {
  EdgeTop: "top",
  EdgeBottom: "bottom",
  EdgeLeft: "left",
  EdgeRight: "right",
  InsideHorizontal: "h",
  InsideVertical: "v",
} as const;

export type BorderSide = keyof typeof POSITIONS;
export const borderSides = Object.keys(POSITIONS) as BorderSide[];

/** The spreadsheet has one word for what the host says with a line style and a weight. */
const LINES: Readonly<Record<string, { style: string; weight: string }>> = {
  thin: { style: "Continuous", weight: "Thin" },
  medium: { style: "Continuous", weight: "Medium" },
  thick: { style: "Continuous", weight: "Thick" },
  dashed: { style: "Dash", weight: "Thin" },
  dotted: { style: "Dot", weight: "Thin" },
};

interface Line {
  style: string;
  color: string;
}

export class RangeBorder implements WireObject {
  readonly $type = "RangeBorder";
  readonly $scalars = ["Color", "SideIndex", "Style", "Weight"];

  constructor(
    private readonly book: Book,
    private readonly area: Area,
    private readonly side: BorderSide,
  ) {}

  get Id(): string {
    return this.side;
  }

  get SideIndex(): string {
    return this.side;
  }

  get Style(): string {
    return LINES[this.line?.style ?? ""]?.style ?? "None";
  }

  set Style(style: string) {
    if (style === "None") this.draw(null);
    else if (style === "Dash" || style.startsWith("DashDot")) this.draw({ style: "dashed" });
    else if (style === "Dot") this.draw({ style: "dotted" });
    else if (style === "Continuous") {
      const { style: present } = this.line ?? { style: "thin" };
      this.draw({ style: present === "dashed" || present === "dotted" ? "thin" : present });
    } else throw invalidArgument(`this spreadsheet draws no ${style} line`);
  }

  get Weight(): string {
    return LINES[this.line?.style ?? ""]?.weight ?? "Thin";
  }

  set Weight(weight: string) {
    const style = { Hairline: "thin", Thin: "thin", Medium: "medium", Thick: "thick" }[weight];
    if (!style) throw invalidArgument(`"${weight}" is no line weight`);
    this.draw({ style });
  }

  get Color(): string {
    return (this.line?.color ?? "#000000").toUpperCase();
  }

  set Color(color: string) {
    this.draw({ color });
  }

  /** The line at the range's corner stands for the whole side. */
  private get line(): Line | undefined {
    const zone = this.book.present(this.area);
    if (!zone) return undefined;
    const { sheetId } = this.area;
    const end = this.side === "EdgeBottom" || this.side === "EdgeRight";
    const position = end
      ? { sheetId, col: zone.right, row: zone.bottom }
      : { sheetId, col: zone.left, row: zone.top };
    const border = this.book.getters.getCellBorder(position);
    const edge = { h: "bottom", v: "right" }[POSITIONS[this.side] as string] ?? POSITIONS[this.side];
    return border?.[edge as "top" | "bottom" | "left" | "right"];
  }

  private draw(change: Partial<Line> | null): void {
    const zone = this.book.roomFor(this.area);
    const { style, color } = { style: "thin", color: "#000000", ...this.line, ...change };
    // An empty colour is the spreadsheet's way to take a line away.
    const border = { position: POSITIONS[this.side], style, color: change ? color : "" };
    this.book.run("SET_ZONE_BORDERS", { sheetId: this.area.sheetId, target: [zone], border });
  }
}

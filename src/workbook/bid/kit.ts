/** What every sheet of a bid is planned with: units, our functions by name, the heads that all sheets share. */
import { asFormula } from "../writing";
import { functionNamed, namespace } from "../../engine/catalogue";
import { unitsPosition } from "../../engine/formula";
import type { QuantityKind, UnitSystem } from "../../engine/units";
import { unitText } from "../../engine/units";
import { parameterOf } from "./entry";
import type { JobInput } from "./job";
import { SheetPlan } from "./plan";

/** The sheets of a bid in their order, by the names they have where those are free. */
export const bidSheetNames = {
  site: "Site",
  outlines: "Outlines",
  materials: "Materials",
  quantities: "Quantities",
  order: "Order",
  bid: "Bid",
  crew: "Crew",
  record: "Record",
  watering: "Watering",
  review: "Review",
} as const;
export type BidSheet = keyof typeof bidSheetNames;

/** What each sheet is, as its second line says. */
const sheetPurposes: Readonly<Record<BidSheet, string>> = {
  site: "Site: zones as measured",
  outlines: "Outlines: surveyed parts of zones that Site measures by outline",
  materials: "Materials: the price book",
  quantities: "Quantities: what is chosen, and what each zone needs",
  order: "Order: needs of all zones added up, then packed once",
  bid: "Bid for a lawn renovation",
  crew: "Crew: the day in order",
  record: "Record of application",
  watering: "Watering: your schedule after seeding",
  review: "Review: what the job really took",
};
export type SheetNames = Readonly<Record<BidSheet, string>>;

/** The texts that a parameter takes. */
export function choicesOf(id: string, parameter: string): readonly string[] {
  const found = parameterOf(id, parameter);
  return found.takes === "text" ? (found.choices ?? []) : [];
}

export class Kit {
  constructor(
    readonly system: UnitSystem,
    readonly property: string,
    /** The job filled in, or undefined for empty input cells. */
    readonly job: JobInput | undefined,
    readonly names: SheetNames,
  ) {}

  unit(kind: QuantityKind): string {
    return unitText(kind, this.system);
  }

  /** A call of ours: arguments in the order of the parameters, the unit system where it is not the default. */
  call(id: string, ...given: readonly (string | number)[]): string {
    const definition = functionNamed(id);
    if (definition === undefined) throw new Error(`There is no function ${id}`);
    const texts = given.map(String);
    const position = unitsPosition(definition);
    if (this.system === "metric" && position >= 0) {
      while (texts.length < position) texts.push("");
      texts.push('"metric"');
    }
    return `${namespace}.${id}(${texts.join(",")})`;
  }

  /** A sheet with its head: property, what the sheet is, how to read it. */
  sheet(which: BidSheet, legend = boxed): SheetPlan {
    const sheet = new SheetPlan(this.names[which]);
    const title = which === "site" ? this.property : asFormula(`${this.titleCell}&""`);
    sheet.put(1, 1, title, "title", { form: "text" });
    sheet.put(2, 1, sheetPurposes[which], "purpose");
    sheet.put(3, 1, legend, "legend");
    return sheet;
  }

  private get titleCell(): string {
    return new SheetPlan(this.names.site).at(1, 1);
  }

  /** A figure as words, such as `1,234.5 lb`, for sentences that follow the sheet. */
  words(reference: string, decimals: number, unit = ""): string {
    const places = decimals === 0 ? "" : `.${"0".repeat(decimals)}`;
    return `TEXT(${reference},"#,##0${places}")&"${unit === "" ? "" : ` ${unit}`}"`;
  }
}

const boxed = "Boxed cells are yours to fill in; everything else is worked out from them.";

/** A step whose rate is not filled in is left out of the job and costs nothing. */
export const whereSet = (cell: string, formula: string): string => `IF(${cell}=0,0,${formula})`;

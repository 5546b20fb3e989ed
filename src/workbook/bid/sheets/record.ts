/** The application record: what the federal and the stricter state rules ask for, as far as the job knows it. */
import { asFormula } from "../../writing";
import type { FigureId } from "../declare/figures";
import { figures } from "../declare/figures";
import { partName } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { NumberForm, SheetPlan } from "../plan";
import type { MaterialRefs } from "./materials";
import type { OrderRefs } from "./order";
import type { QuantityRefs } from "./quantities";

/**
 * Fields of 7 CFR 110.3 and 40 CFR 171.303, of COMAR 15.05.01.12 (Maryland), 4 TAC 7.143 (Texas) and of the rules of
 * Delaware, Maine and New York in USDA ARS's list of state requirements.
 */
const blank = <const N extends string, const S extends string>(name: N, says: S) =>
  ({ name, holds: "text", form: "text", says }) as const;

/** What only the applicator can write, on the day. */
export const record = figures({
  id: "record",
  sheet: "record",
  figures: {
    begun: blank("Time begun", "When the application began."),
    ended: blank("Time ended", "When it ended."),
    reEntry: blank("Re-entry interval on the label", "How long people stay off, as the label says."),
    billTo: blank("Name and address for the bill, if another", "Who pays, where it is not the owner."),
    applicator: blank("Certified applicator", "Who is answerable for it."),
    license: blank("Certification or license number", "The number of the applicator."),
    helper: blank("Applicator without certification, if any", "Who applied it under supervision."),
    business: blank("Business and its license number", "The business and its number."),
    registration: blank("Registration number (EPA), from the label", "The number of the product."),
    pest: blank("Weed or pest it is aimed at", "What it is to keep down."),
    equipment: blank("Equipment", "What it was applied with."),
    windFrom: blank("Wind, direction", "Where the wind came from."),
    windSpeed: blank("Wind, speed", "How strong it was."),
    temperature: blank("Temperature", "How warm it was."),
    humidity: blank("Humidity", "How moist the air was."),
    sky: blank("Sky, rain in sight", "The sky, and whether rain was coming."),
    signed: blank("Signature and date of entry", "Who made the entry, and when."),
  },
});
type Blank = FigureId<typeof record>;

const when = ["begun", "ended", "reEntry"] as const;
const who = ["billTo", "applicator", "license", "helper", "business"] as const;
const weather = ["windFrom", "windSpeed", "temperature", "humidity", "sky"] as const;

export function planRecord(
  kit: Kit,
  materials: MaterialRefs,
  quantities: QuantityRefs,
  order: OrderRefs,
): SheetPlan {
  const plan = kit.sheet(
    "record",
    "Filled in as far as the job knows it. Only the applicator can fill in the boxes, on the day.",
  );
  let row = 5;
  const { figure } = quantities;
  const heading = (text: string) => plan.put(row++, 1, text, "heading");
  const known = (label: string, formula: string, form: NumberForm = "text") => {
    plan.put(row, 1, label, "label");
    plan.put(row, 2, asFormula(formula), "result", { form, align: "left" });
    plan.put(row, 3, "", "result");
    row++;
  };
  const toFill = (id: Blank, both = false) => {
    plan.know(partName(record.id, id), row, 2, row, 3);
    plan.put(row, 1, record.figures[id].name, "label");
    plan.input(row, 2, undefined, { form: "text" });
    plan.input(row, 3, undefined, { form: "text" });
    if (!both) plan.merges.push({ row, left: 2, right: 3 });
    row++;
  };

  heading("Where and for whom");
  known("Place of application", "A1");
  known("Owner or tenant", `${order.term("client")}&""`);
  known("Company", `${order.term("company")}&""`);
  known("Site treated", '"lawn, at seeding"');
  const day = order.term("seedingDay");
  known("Date", `IF(${day}=0,"",${day})`, "date");
  for (const id of when) toFill(id);
  row++;
  heading("Who");
  for (const id of who) toFill(id);
  row++;

  plan.columns(row++, ["What", "Spray", "Starter that carries an active"]);
  const share = figure("carried");
  const sprays = `${order.material("preEmergent").need}=0`;
  const [spray, starter] = [order.material("preEmergent"), order.material("starter")];
  const two = (label: string, one: string, other: string, form: NumberForm = "text") => {
    plan.put(row, 1, label, "label");
    plan.put(row, 2, asFormula(`IF(${sprays},"",${one})`), "result", { form, align: "left" });
    plan.put(row, 3, asFormula(`IF(${share}=0,"",${other})`), "result", { form, align: "left" });
    row++;
  };
  const area = quantities.total("area");
  two("Product, full name on the label", spray.name, starter.name);
  toFill("registration", true);
  two(
    "Active",
    materials.text("preEmergents", "active", quantities.chosen("preEmergent")),
    materials.text("starters", "active", quantities.chosen("starter")),
  );
  two("Area treated", kit.words(area, 0, kit.unit("area")), kit.words(area, 0, kit.unit("area")));
  two(
    "Product applied in all",
    kit.words(spray.need, 2, kit.unit("liquidDose")),
    kit.words(starter.need, 1, kit.unit("weight")),
  );
  two(
    "Rate of product",
    kit.words(figure("labelRate"), 2, kit.unit("labelRate")),
    kit.words(figure("starterRate"), 2, kit.unit("spreadRate")),
  );
  two(
    "Rate of active",
    kit.words(figure("sprayed"), 4, kit.unit("activeRate")),
    kit.words(figure("carried"), 4, kit.unit("activeRate")),
  );
  two(
    "Dilution",
    `${kit.words(figure("labelRate"), 2, kit.unit("liquidDose"))}&" in "&${kit.words(figure("sprayVolume"), 1, kit.unit("tank"))}&" of water"`,
    '"none, spread dry"',
  );
  toFill("pest", true);
  toFill("equipment", true);
  two(
    "Room left under the season limit",
    whereSet(figure("seasonLimit"), kit.words(figure("room"), 4, kit.unit("activeRate"))),
    '"counted together with the spray"',
  );
  row++;
  heading("Weather");
  for (const id of weather) toFill(id);
  row++;
  toFill("signed");
  row++;
  const tenth = kit.system === "us" ? 4356 : 404.68564224;
  plan.across(
    row++,
    [1, 3],
    asFormula(
      `IF(AND(${area}>0,${area}<${tenth}),"Under a tenth of an acre: the federal record for restricted products may say spot treatment.","")`,
    ),
    "note",
  );
  for (const sentence of [
    "Local rules decide what has to be recorded, how soon, and who gets a copy; some want every product, not only restricted ones.",
    "Keep the record for two years at the least, longer where the state says so.",
  ]) {
    plan.across(row++, [1, 3], sentence, "caution");
  }
  plan.widths = [42, 34, 34];
  plan.titleRows = [1, 2];
  plan.onePage = true;
  return plan;
}

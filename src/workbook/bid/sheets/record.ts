/** The application record: what the federal and the stricter state rules ask for, as far as the job knows it. */
import { asFormula } from "../../write-cells";
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
const blanks = {
  who: [
    "Name and address for the bill, if another",
    "Certified applicator",
    "Certification or license number",
    "Applicator without certification, if any",
    "Business and its license number",
  ],
  when: ["Time begun", "Time ended", "Re-entry interval on the label"],
  weather: ["Wind, direction", "Wind, speed", "Temperature", "Humidity", "Sky, rain in sight"],
} as const;

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
  const toFill = (label: string, both = false) => {
    plan.put(row, 1, label, "label");
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
  for (const label of blanks.when) toFill(label);
  row++;
  heading("Who");
  for (const label of blanks.who) toFill(label);
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
  toFill("Registration number (EPA), from the label", true);
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
  toFill("Weed or pest it is aimed at", true);
  toFill("Equipment", true);
  two(
    "Room left under the season limit",
    whereSet(figure("seasonLimit"), kit.words(figure("room"), 4, kit.unit("activeRate"))),
    '"counted together with the spray"',
  );
  row++;
  heading("Weather");
  for (const label of blanks.weather) toFill(label);
  row++;
  toFill("Signature and date of entry");
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

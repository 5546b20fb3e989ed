/** The application record: what the federal and the stricter state rules ask for, as far as the job knows it. */
import { asFormula } from "../../writing";
import type { PlannedSheets } from "../bid-sheets";
import { inWords } from "../declare/common";
import type { FigureId } from "../declare/figures";
import { figures, knowFigure } from "../declare/figures";
import type { Sheet } from "../declare/sheet";
import { PlacedTable, table } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { SheetPlan } from "../plan";

/**
 * Where and for whom, as the job knows it, and what only the applicator can write, on the day: fields of 7 CFR 110.3 and
 * 40 CFR 171.303, of COMAR 15.05.01.12 (Maryland), 4 TAC 7.143 (Texas) and of the rules of Delaware, Maine and New York
 * in USDA ARS's list of state requirements.
 */
export const record = figures({
  id: "record",
  sheet: "record",
  figures: {
    place: inWords("Place of application", "The property."),
    owner: inWords("Owner or tenant", "For whom the work is done."),
    company: inWords("Company", "Who does it."),
    site: inWords("Site treated", "What kind of ground is treated, and when."),
    date: { name: "Date", holds: "number", form: "date", says: "The seeding day." },
    begun: inWords("Time begun", "When the application began."),
    ended: inWords("Time ended", "When it ended."),
    reEntry: inWords("Re-entry interval on the label", "How long people stay off, as the label says."),
    billTo: inWords("Name and address for the bill, if another", "Who pays, where it is not the owner."),
    applicator: inWords("Certified applicator", "Who is answerable for it."),
    license: inWords("Certification or license number", "The number of the applicator."),
    helper: inWords("Applicator without certification, if any", "Who applied it under supervision."),
    business: inWords("Business and its license number", "The business and its number."),
    registration: inWords("Registration number (EPA), from the label", "The number of the product."),
    pest: inWords("Weed or pest it is aimed at", "What it is to keep down."),
    equipment: inWords("Equipment", "What it was applied with."),
    windFrom: inWords("Wind, direction", "Where the wind came from."),
    windSpeed: inWords("Wind, speed", "How strong it was."),
    temperature: inWords("Temperature", "How warm it was."),
    humidity: inWords("Humidity", "How moist the air was."),
    sky: inWords("Sky, rain in sight", "The sky, and whether rain was coming."),
    signed: inWords("Signature and date of entry", "Who made the entry, and when."),
  },
});
type Entry = FigureId<typeof record>;

/** What is applied, of the spray and of a starter that carries an active. */
const applied = table({
  id: "applied",
  sheet: "record",
  rows: ["product", "active", "area", "amount", "rate", "activeRate", "dilution", "room"],
  columns: {
    what: inWords("What", "What is told of both."),
    spray: inWords("Spray", "What is told of the spray, where there is one."),
    starter: inWords("Starter that carries an active", "What is told of such a starter."),
  },
});

const when = ["begun", "ended", "reEntry"] as const;
const who = ["billTo", "applicator", "license", "helper", "business"] as const;
const weather = ["windFrom", "windSpeed", "temperature", "humidity", "sky"] as const;

function planRecord(kit: Kit, plan: SheetPlan, { materials, quantities, order }: PlannedSheets): void {
  let row = 5;
  const { figure } = quantities;
  const heading = (text: string) => plan.put(row++, 1, text, "heading");
  const label = (id: Entry) => {
    knowFigure(plan, record, id, row, [2, 3]);
    plan.put(row, 1, record.figures[id].name, "label");
  };
  const known = (id: Entry, formula: string) => {
    label(id);
    plan.put(row, 2, asFormula(formula), "result", { form: record.figures[id].form, align: "left" });
    plan.put(row, 3, "", "result");
    row++;
  };
  const toFill = (id: Entry, both = false) => {
    label(id);
    plan.input(row, 2, undefined, { form: "text" });
    plan.input(row, 3, undefined, { form: "text" });
    if (!both) plan.merges.push({ row, left: 2, right: 3 });
    row++;
  };

  heading("Where and for whom");
  known("place", "A1");
  known("owner", `${order.term("client")}&""`);
  known("company", `${order.term("company")}&""`);
  known("site", '"lawn, at seeding"');
  const day = order.term("seedingDay");
  known("date", `IF(${day}=0,"",${day})`);
  for (const id of when) toFill(id);
  row++;
  heading("Who");
  for (const id of who) toFill(id);
  row++;

  const placed = new PlacedTable(kit, plan, applied, row++);
  const rows = new Map<string, number>();
  placed.heads();
  const share = figure("carried");
  const sprays = `${order.material("preEmergent").need}=0`;
  const [spray, starter] = [order.material("preEmergent"), order.material("starter")];
  const two = (id: string, label: string, one: string, other: string) => {
    rows.set(id, row);
    const look = { form: "text", align: "left" } as const;
    placed.put("what", row, label, "label");
    placed.formula("spray", row, `IF(${sprays},"",${one})`, "result", look);
    placed.formula("starter", row, `IF(${share}=0,"",${other})`, "result", look);
    row++;
  };
  const area = quantities.total("area");
  two("product", "Product, full name on the label", spray.name, starter.name);
  toFill("registration", true);
  two(
    "active",
    "Active",
    materials.text("preEmergents", "active", quantities.chosen("preEmergent")),
    materials.text("starters", "active", quantities.chosen("starter")),
  );
  two("area", "Area treated", kit.words(area, 0, kit.unit("area")), kit.words(area, 0, kit.unit("area")));
  two(
    "amount",
    "Product applied in all",
    kit.words(spray.need, 2, kit.unit("liquidDose")),
    kit.words(starter.need, 1, kit.unit("weight")),
  );
  two(
    "rate",
    "Rate of product",
    kit.words(figure("labelRate"), 2, kit.unit("labelRate")),
    kit.words(figure("starterRate"), 2, kit.unit("spreadRate")),
  );
  two(
    "activeRate",
    "Rate of active",
    kit.words(figure("sprayed"), 4, kit.unit("activeRate")),
    kit.words(figure("carried"), 4, kit.unit("activeRate")),
  );
  two(
    "dilution",
    "Dilution",
    `${kit.words(figure("labelRate"), 2, kit.unit("liquidDose"))}&" in "&${kit.words(figure("sprayVolume"), 1, kit.unit("tank"))}&" of water"`,
    '"none, spread dry"',
  );
  toFill("pest", true);
  toFill("equipment", true);
  two(
    "room",
    "Room left under the season limit",
    whereSet(figure("seasonLimit"), kit.words(figure("room"), 4, kit.unit("activeRate"))),
    '"counted together with the spray"',
  );
  placed.known(row - 1, (id) => rows.get(id) ?? 0);
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
}

export const recordSheet: Sheet = {
  name: "Record",
  purpose: "Record of application",
  legend: "Filled in as far as the job knows it. Only the applicator can fill in the boxes, on the day.",
  tab: "paper",
  tellsCosts: false,
  tables: [applied],
  figures: [record],
  plan: planRecord,
};

/** What is chosen for the whole job laid out, and what follows from it before any zone is looked at. */
import type { Content } from "../../host";
import { asFormula } from "../../writing";
import { PlacedFigures } from "../declare/figures";
import { PlacedTable } from "../declare/table";
import type { Kit } from "../kit";
import { whereSet } from "../kit";
import type { ChosenLine } from "../named-lines";
import { lineOf, linesNamed } from "../named-lines";
import type { SheetPlan } from "../plan";
import type { ChosenFigure, Figure } from "./chosen";
import { chosen, chosenFrom, chosenLines } from "./chosen";
import type { MaterialRefs } from "./materials";

const firstFigure = 6;

/** The upper part of Quantities. */
export interface PlacedChoices {
  readonly figures: PlacedFigures<typeof chosen>;
  /** Beside them, in the rows of those that were chosen by name. */
  readonly lines: PlacedTable<typeof chosenLines>;
}

export function planChosen(
  kit: Kit,
  plan: SheetPlan,
  materials: MaterialRefs,
  besideLeft: number,
): PlacedChoices {
  const given = kit.job?.chosen;
  const placed = new PlacedFigures(kit, plan, chosen, firstFigure, { label: 2, value: 3, unit: 4, note: 5 });
  const beside = new PlacedTable(kit, plan, chosenLines, firstFigure, besideLeft);
  const at = (figure: Figure) => placed.at(figure);
  plan.put(firstFigure - 1, 1, "Chosen for this job", "heading");
  beside.heads();
  beside.known(placed.end - 1, (figure) => placed.row(figure as ChosenFigure));

  const line = (figure: ChosenFigure): ChosenLine => ({
    name: at(figure),
    line: beside.at("line", placed.row(figure)),
  });
  const choose = (figure: ChosenFigure, of: string) => {
    const section = chosenFrom[figure];
    const row = placed.row(figure);
    const [name, found] = [at(figure), beside.at("found", row)];
    const list = materials.lines(section);
    beside.result("found", row, `IF(${name}="",0,${linesNamed(list, name)})`);
    beside.result("line", row, `IF(${name}="",0,IF(${found}=0,NA(),${lineOf(list, name)}))`);
    const note = asFormula(
      `IF(${name}="","",IF(${found}=0,"not on Materials: choose again",IF(${found}>1,"more than one on Materials has this name: rename the others","")))`,
    );
    const empty = "Leave it empty if the job has none.";
    placed.input(figure, given?.[figure], {
      note,
      takes: { takes: "name", at: materials.names(section), of, empty },
    });
  };
  const figureOf = (figure: ChosenFigure, id: string) =>
    materials.figure(chosenFrom[figure], id, line(figure));
  const textOf = (figure: ChosenFigure, id: string) => materials.text(chosenFrom[figure], id, line(figure));

  placed.input("buyFor", "area as measured");
  choose("seedLot", "seed lots");
  placed.result("pureLiveSeed", figureOf("seedLot", "pureLiveSeed"));
  choose("starter", "starters");
  placed.input("phosphateRate", given?.phosphateRate);
  placed.result("phosphate", figureOf("starter", "phosphate"));
  placed.result(
    "starterRate",
    `IF(OR(${at("phosphate")}=0,${at("phosphateRate")}=0),0,${at("phosphateRate")}/${at("phosphate")})`,
  );
  const share = figureOf("starter", "activeShare");
  placed.result(
    "carried",
    `IF(OR(${at("starterRate")}=0,${share}=0),0,${kit.call("GRANULE_ACTIVE_RATE", at("starterRate"), share)})`,
  );
  choose("preEmergent", "pre-emergents");
  const rate = at("labelRate");
  placed.input("labelRate", given?.labelRate, {
    note: rateNote(kit, rate, figureOf("preEmergent", "rateLow"), figureOf("preEmergent", "rateHigh")),
  });
  placed.input("sprayVolume", given?.sprayVolume, {
    note: asFormula(
      `IF(AND(${rate}>0,${at("sprayVolume")}<${figureOf("preEmergent", "leastVolume")}),"below the least spray volume on the label","")`,
    ),
  });
  placed.input("tank", given?.tank);
  const concentration = figureOf("preEmergent", "concentration");
  placed.result(
    "sprayed",
    `IF(OR(${rate}=0,${concentration}=0),0,${kit.call("ACTIVE_RATE", rate, concentration)})`,
  );
  placed.input("applied", undefined);
  placed.result("seasonLimit", figureOf("preEmergent", "seasonLimit"));
  const [one, other] = [textOf("starter", "active"), textOf("preEmergent", "active")];
  const together = `IF(AND(${one}<>"",${other}<>"",${one}<>${other}),0,${at("carried")})`;
  placed.result(
    "room",
    whereSet(
      at("seasonLimit"),
      kit.call("SEASON_ROOM", at("seasonLimit"), together, at("sprayed"), at("applied")),
    ),
  );
  const verdict = at("verdict");
  // The verdict is calm; what stands beside it in the color of a caution is there only where something is wrong.
  placed.result(
    "verdict",
    `IF(${rate}+${at("carried")}=0,"no pre-emergent",IF(${at("seasonLimit")}=0,"enter the limit",IF(${at("room")}<0,"OVERSPENT","kept")))`,
    {
      note: asFormula(
        `IF(${verdict}="OVERSPENT","passed: lower the rate or choose a material without it",IF(${verdict}="enter the limit","not known until the limit on your label is entered",""))`,
      ),
    },
  );
  choose("topdressing", "topdressings");
  placed.input("depth", given?.depth);
  placed.result("screenLoss", figureOf("topdressing", "screenLoss"));
  const swell = figureOf("topdressing", "swell");
  placed.result("swell", `IF(${swell}=0,1,${swell})`);
  choose("conditioner", "conditioners");
  placed.result("conditionerRate", figureOf("conditioner", "rate"));
  placed.result("conditionerDays", figureOf("conditioner", "repeatDays"));
  placed.input("dropWidth", given?.dropWidth);
  placed.input("swath", given?.swath);
  placed.input("hopper", given?.hopper);
  placed.input("walkingPace", given?.walkingPace);
  return { figures: placed, lines: beside };
}

const rateNote = (kit: Kit, rate: string, low: string, high: string): Content =>
  asFormula(
    `IF(${rate}=0,"${kit.job === undefined ? "from your label; " : ""}the spray is left out until a rate stands here",IF(AND(${low}>0,${rate}<${low}),"below the lowest rate on the label",IF(AND(${high}>0,${rate}>${high}),"ABOVE the highest rate on the label","")))`,
  );

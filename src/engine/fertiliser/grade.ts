import { formula } from "../formula";
import { Refusal } from "../refusal";
import { oxides } from "./oxides";

/** Text such as 10-18-22. A spreadsheet may have read it as a date, which then arrives as a number. */
const gradePattern = /^\d{1,2}(\.\d+)?-\d{1,2}(\.\d+)?-\d{1,2}(\.\d+)?$/;

/** The three figures of a grade are N, P2O5 and K2O, in this order; the last two are oxides, not the elements P and K. */
export const grade = formula({
  id: "GRADE",
  step: "fertiliser",
  sentence: 'Share of a nutrient in a fertilizer grade such as "10-18-22", from 0 to 1.',
  equation: "the nutrient's figure in the grade ÷ 100 (P = 0.4364 × P₂O₅, K = 0.8302 × K₂O)",
  result: { name: "share of the nutrient", kind: "share" },
  parameters: [
    {
      takes: "text",
      id: "grade",
      kind: "text",
      about: "grade on the bag",
      blank: "refused",
      enter: 'as text such as "10-18-22" (begin with an apostrophe if the cell turns it into a date)',
      pattern: gradePattern,
    },
    {
      takes: "text",
      id: "nutrient",
      kind: "text",
      about: "nutrient",
      blank: "refused",
      choices: ["N", "P2O5", "K2O", "P", "K"],
    },
  ],
  caution: "fertiliser",
  unchecked: "that the three figures of the grade add up to no more than 100",
  sources: [
    {
      title: "Standard atomic weights: P 30.973762, K 39.0983, O 15.999",
      publisher: "IUPAC",
      note: "share of the element in its oxide",
    },
  ],
  example: { given: ["10-18-22", "P2O5"], gives: 0.18, story: "a 10-18-22 starter" },
  body: (m, _unit, gradeText, nutrient) => {
    const figure = (index: number) => m.div(m.part(gradeText, "-", index), m.of(100));
    const [phosphate, potash] = [figure(1), figure(2)];
    return m.choose(nutrient, {
      N: figure(0),
      P2O5: phosphate,
      K2O: potash,
      P: m.mul(phosphate, m.of(oxides.phosphorusInPhosphate)),
      K: m.mul(potash, m.of(oxides.potassiumInPotash)),
    });
  },
  inspect: ([text]) => {
    const figures = String(text).split("-").map(Number);
    const total = figures.reduce((sum, part) => sum + part, 0);
    if (total > 100) {
      throw new Refusal(
        "grade",
        `grade ${String(text)} adds up to ${total}: enter the three figures on the bag, which add up to at most 100.`,
      );
    }
  },
});

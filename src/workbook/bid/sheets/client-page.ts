/** What the client's page holds, as it is declared. */
import { inWords } from "../declare/common";
import { figures } from "../declare/figures";
import { table } from "../declare/table";
import { workSteps } from "../job";

/** Who offers it to whom and until when, at the head of the page, and where both sign, at its foot. */
export const offer = figures({
  id: "offer",
  sheet: "bid",
  figures: {
    client: inWords("For whom", "The client, where one is named on Order."),
    dated: inWords("Date of the bid", "The day that the bid is dated, in words."),
    company: inWords("From whom", "Your company, where it is named on Order."),
    holds: inWords("Holds until", "The day until which the client may take it, in words."),
    accepted: inWords("Accepted: signature and date", "Where the client signs."),
    signed: inWords("For the company", "Where the company signs."),
  },
});

/** What is done, a sentence each; a step that is not in the job says so. */
export const scope = table({
  id: "scope",
  sheet: "bid",
  rows: ["ground", "seed", "starter", "preEmergent", "topdress", "conditioner", "water", "seedingDay"],
  columns: { what: inWords("What we do", "What is done, in a sentence.") },
});

/** What the client pays. */
export const prices = table({
  id: "prices",
  sheet: "bid",
  rows: [...workSteps, "beforeTax", "tax", "withTax", "deposit", "balance"],
  gap: { before: "price", columns: 1 },
  columns: {
    step: { name: "Price", holds: "text", says: "The step of the work, or what is summed up." },
    price: {
      name: "",
      holds: "number",
      form: "money",
      says: "What the client pays for it; a word where steps are not priced singly, or not in the job.",
    },
  },
});

/** What the client may choose instead. */
export const instead = table({
  id: "instead",
  sheet: "bid",
  gap: { before: "price", columns: 1 },
  columns: {
    option: {
      name: "Instead of this you may choose",
      holds: "text",
      says: "What the way is called on Order.",
    },
    price: { name: "price with tax", holds: "number", form: "money", says: "What it is sold for." },
  },
});

export const notCovered = table({
  id: "notCovered",
  sheet: "bid",
  columns: { what: inWords("Not covered", "What the price does not hold for.") },
});

export const safety = table({
  id: "safety",
  sheet: "bid",
  columns: { what: inWords("For everyone's safety", "What keeps people safe.") },
});

/** Carries what a job really took into the price book and the paces, so that the next bid reckons with it. */
import { loadCalculated } from "../calculated";
import { blockOf, cellAddress } from "../reference";
import { WorkbookTrouble } from "../trouble";
import { asWork } from "../work/as-work";
import { writeAndLook } from "../write-cells";
import { bidSheetNames } from "./kit";

export interface CarriedFigure {
  readonly sheet: string;
  readonly address: string;
  /** What it is: the material or the step. */
  readonly name: string;
  readonly before: unknown;
  readonly now: number;
}

type Grid = readonly (readonly unknown[])[];

interface ReadSheet {
  readonly name: string;
  readonly sheet: Excel.Worksheet;
  readonly cells: Grid;
}

/**
 * The heads that the review, the materials and the order are read by, as their planners write them. A whole row of heads
 * is looked for: a material may be called as any one of them is.
 */
const heads = {
  screen: ["Unit", "Opened", "Screened out"],
  hours: ["Step", "Crew hours planned", "Crew hours taken"],
  materials: ["Name", /^In stock,/, "Supplier", "Screen loss, from past jobs"],
  steps: ["Step", "Further hours", "Crew hours", /^Pace,/],
} as const satisfies Readonly<Record<string, readonly (string | RegExp)[]>>;
type Head = keyof typeof heads;
const realColumn = 4;

const matches = (head: string | RegExp, cell: unknown): boolean =>
  typeof cell === "string" && (typeof head === "string" ? cell === head : head.test(cell));

/** The row of heads, or -1. */
const rowOf = (cells: Grid, which: Head): number =>
  cells.findIndex((line) => heads[which].every((head) => line.some((cell) => matches(head, cell))));

/** The column of the last head of a row of heads. */
const columnOf = (line: readonly unknown[] | undefined, which: Head): number =>
  (line ?? []).findIndex((cell) => matches(heads[which][heads[which].length - 1] ?? "", cell));

/** A named figure of the review: the name in the first column, what was real further right. */
interface RealFigure {
  readonly name: string;
  readonly value: number;
}

const figureIn = (line: readonly unknown[] | undefined): RealFigure[] => {
  const [name, value] = [line?.[0], line?.[realColumn]];
  return typeof name === "string" && name !== "" && typeof value === "number" && value > 0
    ? [{ name, value }]
    : [];
};

function realLoss(review: Grid): readonly RealFigure[] {
  const head = rowOf(review, "screen");
  return head < 0 ? [] : figureIn(review[head + 1]);
}

function realPaces(review: Grid): readonly RealFigure[] {
  const head = rowOf(review, "hours");
  if (head < 0) return [];
  const rest = review.slice(head + 1);
  const end = rest.findIndex(([first]) => first === "" || first === null);
  return rest.slice(0, end < 0 ? rest.length : end).flatMap(figureIn);
}

/** Where each figure goes: the row of its name below the head that the figures stand under. */
function placed(
  { name: sheet, cells }: ReadSheet,
  which: Head,
  figures: readonly RealFigure[],
): readonly CarriedFigure[] {
  const head = rowOf(cells, which);
  const column = columnOf(cells[head], which);
  if (head < 0) return [];
  return figures.flatMap(({ name, value }) => {
    const row = cells.findIndex(([first], i) => i > head && first === name);
    if (row < 0) return [];
    const before = cells[row]?.[column];
    return [{ sheet, address: cellAddress(row, column), name, before, now: value }];
  });
}

async function readBidSheets(
  context: Excel.RequestContext,
): Promise<Record<"review" | "materials" | "order", ReadSheet>> {
  const { worksheets } = context.workbook;
  worksheets.load("items/name");
  const active = worksheets.getActiveWorksheet();
  active.load("name");
  await context.sync();
  const names = worksheets.items.map(({ name }) => name);
  const isReview = (name: string) => new RegExp(`^${bidSheetNames.review}( \\d+)?$`).test(name);
  const review = isReview(active.name) ? active.name : names.filter(isReview).pop();
  const ending = review?.slice(bidSheetNames.review.length);
  const wanted = {
    review,
    materials: `${bidSheetNames.materials}${ending ?? ""}`,
    order: `${bidSheetNames.order}${ending ?? ""}`,
  };
  if (review === undefined || !names.includes(wanted.materials) || !names.includes(wanted.order)) {
    throw new WorkbookTrouble(
      "There is no review with its materials and order: write the bid sheets, fill in Review, then carry it over.",
    );
  }
  const asked = Object.entries({ ...wanted, review }).map(([key, name]) => {
    const sheet = worksheets.getItem(name);
    const range = sheet.getRange("A1").getBoundingRect(sheet.getUsedRange());
    return { key, name, sheet, range };
  });
  await loadCalculated(
    context,
    asked.map(({ range }) => range),
  );
  const read = (key: string): ReadSheet => {
    const found = asked.find((one) => one.key === key);
    if (found === undefined)
      throw new WorkbookTrouble(`The sheet of the ${key} could not be read: try again.`);
    return { name: found.name, sheet: found.sheet, cells: found.range.values as unknown[][] };
  };
  return { review: read("review"), materials: read("materials"), order: read("order") };
}

/** Writes the real screen loss into Materials and the real paces into Order, in one step; answers with what changed. */
export const carryReview = (): Promise<readonly CarriedFigure[]> =>
  asWork({ work: "review" }, async (context, mark) => {
    const { review, materials, order } = await readBidSheets(context);
    const carried = [
      ...placed(materials, "materials", realLoss(review.cells)),
      ...placed(order, "steps", realPaces(review.cells)),
    ];
    if (carried.length === 0) {
      throw new WorkbookTrouble(
        `${review.name} holds no real figures yet: enter what was opened and screened out, and the crew hours taken.`,
      );
    }
    await writeAndLook(
      context,
      mark,
      carried.flatMap(({ sheet, address, before, now }) => {
        const block = blockOf(address);
        const worksheet = context.workbook.worksheets.getItem(sheet);
        return block === undefined
          ? []
          : [{ sheet: worksheet, top: block.top, left: block.left, rows: [[now]], held: before }];
      }),
    );
    return carried;
  });

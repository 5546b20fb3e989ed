/** Comments on cells that do not follow as their function did: whoever opens the sheet reads why. */
import { forNow, inPortions } from "../blocks";
import { qualified } from "../reference";
import { localAddress } from "../selection";
import type { CellNote, UncheckedNote, ValueNote } from "./plan";

/** Whether the host can put a comment on a cell; where not, the report of the hand-over alone lists these cells. */
const canComment = (): boolean => Office.context.requirements.isSetSupported("ExcelApi", "1.10");

/** What stands before the reason, and by which a comment of ours is known again. */
const openings = {
  whole: "A value as of the hand-over: it does not follow changes.",
  part: "A part of this is a value as of the hand-over: that part does not follow changes.",
  plainer: "This follows its inputs, though in a plainer way than the function.",
} as const;

const isOurs = (content: string): boolean => Object.values(openings).some((one) => content.startsWith(one));

type Cell = Pick<CellNote, "sheet" | "address">;

/** The workbook's comments by the cell that they belong to. */
async function commentsByCell(context: Excel.RequestContext): Promise<ReadonlyMap<string, Excel.Comment>> {
  const { comments } = context.workbook;
  comments.load("items/content");
  await context.sync();
  const placed = await inPortions(context, comments.items, (comment) => {
    const range = forNow(comment.getLocation());
    range.load("address");
    range.worksheet.load("name");
    return { comment, range };
  });
  return new Map(
    placed.map(({ comment, range }) => [
      qualified({ sheet: range.worksheet.name, address: localAddress(range.address) }),
      comment,
    ]),
  );
}

/** One cell may hold several values: it gets one comment with every reason. */
function textsByCell(
  values: readonly ValueNote[],
  plainer: readonly UncheckedNote[],
): ReadonlyMap<string, readonly string[]> {
  const cells = new Map<string, readonly string[]>();
  const add = (one: CellNote, opening: string): void => {
    const texts = cells.get(qualified(one)) ?? [opening];
    if (!texts.includes(one.note)) cells.set(qualified(one), [...texts, one.note]);
  };
  for (const one of values) add(one, openings[one.isWhole ? "whole" : "part"]);
  for (const one of plainer) add(one, openings.plainer);
  return cells;
}

/** Comments on cells that have none of the estimator's own; a value that would have followed nothing gets none. */
export async function addValueNotes(
  context: Excel.RequestContext,
  values: readonly ValueNote[],
  unchecked: readonly UncheckedNote[],
): Promise<void> {
  const texts = textsByCell(
    values.filter(({ isFrozen }) => isFrozen),
    unchecked.filter(({ isPlainer }) => isPlainer),
  );
  await addNotes(context, new Map([...texts].map(([cell, all]) => [cell, all.join(" ")])));
}

/** Comments by cell, on cells that have none. */
export async function addNotes(
  context: Excel.RequestContext,
  texts: ReadonlyMap<string, string>,
): Promise<void> {
  if (texts.size === 0 || !canComment()) return;
  const present = await commentsByCell(context);
  const wanted = [...texts].filter(([cell]) => !present.has(cell));
  const add = async (cells: typeof wanted): Promise<void> => {
    await inPortions(context, cells, ([cell, text]) => context.workbook.comments.add(cell, text));
  };
  try {
    await add(wanted);
  } catch {
    // A cell with a note of the older kind takes no comment, and the others still get theirs.
    for (const one of wanted) await add([one]).catch(() => undefined);
  }
}

/** Our comments on cells, with what they say. */
export async function ourNotes(
  context: Excel.RequestContext,
  cells: readonly Cell[],
): Promise<readonly (Cell & { readonly content: string })[]> {
  if (cells.length === 0 || !canComment()) return [];
  const present = await commentsByCell(context);
  return cells.flatMap((cell) => {
    const content = present.get(qualified(cell))?.content;
    return content !== undefined && isOurs(content) ? [{ ...cell, content }] : [];
  });
}

/** Takes our comments off cells; one that someone has written stays. */
export async function removeValueNotes(context: Excel.RequestContext, cells: readonly Cell[]): Promise<void> {
  if (cells.length === 0 || !canComment()) return;
  const wanted = new Set(cells.map(qualified));
  const there = [...(await commentsByCell(context))];
  await inPortions(
    context,
    there.filter(([cell, { content }]) => wanted.has(cell) && isOurs(content)),
    ([, comment]) => comment.delete(),
  );
}

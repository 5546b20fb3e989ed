/** Comments of ours on cells: those that others wrote are left alone, and never taken for ours. */
import type { Comment, Place, RequestContext } from "../host";
import { forNow, hostHas, inPortions, localAddress, qualified } from "../host";

/** Whether the host can put a comment on a cell; where not, the report of the hand-over alone lists these cells. */
const canComment = (): boolean => hostHas("ExcelApi", "1.10");

/** What stands before the reason, and by which a comment of ours is known again. */
export const openings = {
  whole: "A value as of the hand-over: it does not follow changes.",
  part: "A part of this is a value as of the hand-over: that part does not follow changes.",
  plainer: "This follows its inputs, though in a plainer way than the function.",
} as const;

const isOurs = (content: string): boolean => Object.values(openings).some((one) => content.startsWith(one));

/** The workbook's comments by the cell that they belong to. */
async function commentsByCell(context: RequestContext): Promise<ReadonlyMap<string, Comment>> {
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

/** Comments by cell, on cells that have none. */
export async function addNotes(context: RequestContext, texts: ReadonlyMap<string, string>): Promise<void> {
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
  context: RequestContext,
  cells: readonly Place[],
): Promise<readonly (Place & { readonly content: string })[]> {
  if (cells.length === 0 || !canComment()) return [];
  const present = await commentsByCell(context);
  return cells.flatMap((cell) => {
    const content = present.get(qualified(cell))?.content;
    return content !== undefined && isOurs(content) ? [{ ...cell, content }] : [];
  });
}

/** Takes our comments off cells; one that someone has written stays. */
export async function removeValueNotes(context: RequestContext, cells: readonly Place[]): Promise<void> {
  if (cells.length === 0 || !canComment()) return;
  const wanted = new Set(cells.map(qualified));
  const there = [...(await commentsByCell(context))];
  await inPortions(
    context,
    there.filter(([cell, { content }]) => wanted.has(cell) && isOurs(content)),
    ([, comment]) => comment.delete(),
  );
}

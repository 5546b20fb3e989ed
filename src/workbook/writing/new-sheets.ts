/** Sheets of ours are added whole or not at all. */
import type { RequestContext, Worksheet } from "../host";
import { codeOf } from "../host";
import type { Mark } from "../marks";
import { idsOf } from "../marks";

async function present(context: RequestContext): Promise<readonly Worksheet[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/id,items/name");
  await context.sync();
  return worksheets.items;
}

/** So often other names are tried where somebody takes one in that very moment. */
const attempts = 3;

async function named(
  context: RequestContext,
  sheets: readonly Worksheet[],
  namesFor: (taken: readonly string[]) => readonly string[],
): Promise<void> {
  const own = new Set(sheets.map(({ id }) => id));
  for (let attempt = 1; ; attempt++) {
    const others = (await present(context)).filter(({ id }) => !own.has(id));
    const names = namesFor(others.map(({ name }) => name));
    sheets.forEach((sheet, at) => (sheet.name = names[at] ?? ""));
    try {
      return await context.sync();
    } catch (error) {
      if (codeOf(error) !== "ItemAlreadyExists" || attempt === attempts) throw error;
    }
  }
}

export interface NewSheets<T> {
  /** Names that are free; asked again where one of them was taken meanwhile. */
  readonly namesFor: (taken: readonly string[]) => readonly string[];
  readonly fill: (sheets: readonly Worksheet[]) => Promise<T>;
  /** The ids of sheets that are copied, in order; new sheets follow them. */
  readonly copied?: readonly string[];
}

/**
 * Adds sheets of names that are free and has them filled. What was added is known by its id, and until the host has
 * said that, by a name that nobody else gives: a sheet of somebody's is never taken for ours.
 */
export async function withNewSheets<T>(
  context: RequestContext,
  mark: Mark,
  { namesFor, fill, copied = [] }: NewSheets<T>,
): Promise<T> {
  const before = await present(context);
  const count = namesFor(before.map(({ name }) => name)).length;
  const passing = `Swardsheet ${mark.id}`;
  const step = { kind: "sheets", known: before.map(({ id }) => id), passing, copied } as const;
  await mark.step(step);
  const { worksheets } = context.workbook;
  const sheets = Array.from({ length: count }, (_, at) => {
    const source = copied[at];
    const name = `${passing} ${at + 1}`;
    if (source === undefined) {
      const sheet = worksheets.add(name);
      sheet.load("id");
      return sheet;
    }
    const original = worksheets.getItem(source);
    const copy = original.copy("After", original);
    copy.load("id");
    copy.name = name;
    return copy;
  });
  try {
    await context.sync();
  } finally {
    await mark.last({ ...step, added: idsOf(sheets) });
  }
  await named(context, sheets, namesFor);
  return fill(sheets);
}

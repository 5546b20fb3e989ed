/** Sheets of ours are added whole or not at all. */
import { patiently } from "./session";

async function present(context: Excel.RequestContext): Promise<readonly Excel.Worksheet[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/id,items/name");
  await context.sync();
  return worksheets.items;
}

/**
 * Adds sheets of names that are free and has them filled. Where that fails or is stopped, they go again: those that
 * were not there before, so that a sheet of that name which somebody else made in the meantime is not taken for ours.
 */
export async function withNewSheets<T>(
  context: Excel.RequestContext,
  namesFor: (taken: readonly string[]) => readonly string[],
  fill: (sheets: readonly Excel.Worksheet[]) => Promise<T>,
  add: (name: string, at: number) => Excel.Worksheet = (name) => context.workbook.worksheets.add(name),
): Promise<T> {
  const before = await present(context);
  const known = new Set(before.map(({ id }) => id));
  const names = namesFor(before.map(({ name }) => name));
  let added: readonly string[] | undefined;
  try {
    const sheets = names.map(add);
    for (const sheet of sheets) sheet.load("id");
    await context.sync();
    added = sheets.map(({ id }) => id);
    return await fill(sheets);
  } catch (error) {
    const isOurs = ({ id, name }: Excel.Worksheet) =>
      added === undefined ? !known.has(id) && names.includes(name) : added.includes(id);
    await patiently(async () => {
      for (const sheet of (await present(context)).filter(isOurs)) sheet.delete();
      await context.sync();
    });
    throw error;
  }
}

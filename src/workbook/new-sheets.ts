/** Sheets of ours are added whole or not at all. */
import { patiently } from "./session";
import { WorkbookTrouble } from "./trouble";

async function present(context: Excel.RequestContext): Promise<readonly Excel.Worksheet[]> {
  const { worksheets } = context.workbook;
  worksheets.load("items/id,items/name");
  await context.sync();
  return worksheets.items;
}

/** The id of a sheet that was just added, as far as the host came to say it. */
function idOf(sheet: Excel.Worksheet): string[] {
  try {
    return [sheet.id];
  } catch {
    return [];
  }
}

let isAtIt = false;

/** One at a time: two that add sheets at once would take each other's names. */
async function alone<T>(work: () => Promise<T>): Promise<T> {
  if (isAtIt)
    throw new WorkbookTrouble(
      "The pane is still adding sheets: wait until that is done, or stop it, then try again.",
    );
  isAtIt = true;
  try {
    return await work();
  } finally {
    isAtIt = false;
  }
}

/**
 * Adds sheets of names that are free and has them filled. Where that fails or is stopped, they go again by the ids that
 * the host gave them: a sheet of that name which somebody else made in the meantime is not taken for ours.
 */
export const withNewSheets = <T>(
  context: Excel.RequestContext,
  namesFor: (taken: readonly string[]) => readonly string[],
  fill: (sheets: readonly Excel.Worksheet[]) => Promise<T>,
  add: (name: string, at: number) => Excel.Worksheet = (name) => context.workbook.worksheets.add(name),
): Promise<T> => alone(() => added(context, namesFor, fill, add));

async function added<T>(
  context: Excel.RequestContext,
  namesFor: (taken: readonly string[]) => readonly string[],
  fill: (sheets: readonly Excel.Worksheet[]) => Promise<T>,
  add: (name: string, at: number) => Excel.Worksheet,
): Promise<T> {
  const names = namesFor((await present(context)).map(({ name }) => name));
  const sheets = names.map((name, at) => {
    const sheet = add(name, at);
    // Asked for at once: a host that fails at the next of them has told of this one.
    sheet.load("id");
    return sheet;
  });
  try {
    await context.sync();
    return await fill(sheets);
  } catch (error) {
    const ours = new Set(sheets.flatMap(idOf));
    await patiently(async () => {
      for (const sheet of (await present(context)).filter(({ id }) => ours.has(id))) sheet.delete();
      await context.sync();
    });
    throw error;
  }
}

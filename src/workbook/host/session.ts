/** The door to Office.js: one batch, errors turned into sentences. */
import { accessDenied, asSentence, cellIsEdited, codeOf, WorkbookTrouble } from "./trouble";
import { LeftUncalculated } from "./calculated";
import { Stopped } from "./progress";

export async function inWorkbook<T>(work: (context: Excel.RequestContext) => Promise<T>): Promise<T> {
  try {
    return await Excel.run(work);
  } catch (error) {
    const isOurs =
      error instanceof WorkbookTrouble || error instanceof Stopped || error instanceof LeftUncalculated;
    if (isOurs) throw error;
    const sentence = codeOf(error) === accessDenied ? await whatIsProtected(error) : asSentence(error);
    throw new WorkbookTrouble(sentence, { cause: error });
  }
}

/** So long a person finishes what they type, before it is looked again, in milliseconds. */
const untilEnter = 100;

/** Work that must not be left undone, as taking back a step is: it waits for a person who is in a cell. */
export async function patiently(work: () => Promise<void>): Promise<void> {
  for (;;) {
    try {
      return await work();
    } catch (error) {
      const { cause } = error instanceof WorkbookTrouble ? error : { cause: error };
      if (codeOf(cause) !== cellIsEdited) throw error;
    }
    await new Promise((resolve) => setTimeout(resolve, untilEnter));
  }
}

/** So many sheets are named; of more, the number tells enough. */
const mostNamed = 3;

function listed(names: readonly string[]): string {
  const named = names.length > mostNamed ? names.slice(0, mostNamed - 1) : names.slice(0, -1);
  const last = names.length > mostNamed ? `${names.length - named.length} more` : (names.at(-1) ?? "");
  return named.length === 0 ? last : `${named.join(", ")} and ${last}`;
}

const protectedSheets = (names: readonly string[]): string =>
  `The ${names.length === 1 ? "sheet" : "sheets"} ${listed(names)} ${names.length === 1 ? "is" : "are"} protected: choose Review, then Unprotect Sheet, and try again.`;

const protectedWorkbook =
  "The workbook's structure is protected, so no sheet can come, go or be renamed: choose Review, then Protect Workbook to take that off, and try again.";

/** Refuses, before anything is written, where a sheet that is to be written to is protected. */
export async function refuseProtected(
  context: Excel.RequestContext,
  places: readonly { readonly sheet: string }[],
): Promise<void> {
  const names = [...new Set(places.map(({ sheet }) => sheet))];
  const asked = names.map((name) => {
    const { protection } = context.workbook.worksheets.getItem(name);
    protection.load("protected");
    return { name, protection };
  });
  await context.sync();
  const found = asked.filter(({ protection }) => protection.protected).map(({ name }) => name);
  if (found.length > 0) throw new WorkbookTrouble(protectedSheets(found));
}

/** The host says that something is protected, and not what: that is asked. */
async function whatIsProtected(error: unknown): Promise<string> {
  try {
    return await Excel.run(async (context) => {
      const { protection, worksheets } = context.workbook;
      protection.load("protected");
      worksheets.load("items/name,items/protection/protected");
      await context.sync();
      const names = worksheets.items.filter((sheet) => sheet.protection.protected).map(({ name }) => name);
      if (names.length > 0) return protectedSheets(names);
      return protection.protected ? protectedWorkbook : asSentence(error);
    });
  } catch {
    return asSentence(error);
  }
}

/** The door to Office.js: one batch, errors turned into sentences. */
import { asSentence, WorkbookTrouble } from "./trouble";
import { Stopped } from "./progress";

export async function inWorkbook<T>(work: (context: Excel.RequestContext) => Promise<T>): Promise<T> {
  try {
    return await Excel.run(work);
  } catch (error) {
    if (error instanceof WorkbookTrouble || error instanceof Stopped) throw error;
    throw new WorkbookTrouble(asSentence(error), { cause: error });
  }
}

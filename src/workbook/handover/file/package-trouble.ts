/** Why a package is refused, told in one sentence. */
import { WorkbookTrouble } from "../../host";
import { BrokenZip } from "./zip";

export const refuse = (sentence: string): never => {
  throw new WorkbookTrouble(sentence);
};

export const printable = (name: string): string => name.replace(/[^\u0020-\u007e]/g, "?").slice(0, 80);

export const damagedPart = (name: string): string =>
  `The file's part ${printable(name)} is damaged: open the file in Excel, save it again, then hand over.`;

export const told = (error: unknown, sentence: string): unknown =>
  error instanceof BrokenZip ? new WorkbookTrouble(sentence, { cause: error }) : error;

export function sensible<T>(work: () => T, sentence: string): T {
  try {
    return work();
  } catch (error) {
    throw told(error, sentence);
  }
}

export async function sensibly<T>(work: () => Promise<T>, sentence: string): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw told(error, sentence);
  }
}

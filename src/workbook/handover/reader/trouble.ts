/** Why a file for a reader cannot be made, told in one sentence. */
import { WorkbookTrouble } from "../../host";

export const trouble = (sentence: string): never => {
  throw new WorkbookTrouble(sentence);
};

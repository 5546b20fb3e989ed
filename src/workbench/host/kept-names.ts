/** What the spreadsheet has no place for in a name, and how its names and the host's are told apart. */
export interface KeptName {
  comment: string;
  visible: boolean;
  /** The sheet a name belongs to, or null for the workbook. */
  scope: string | null;
  /**
   * As people call it: the spreadsheet may know it by another, since it has one name of a kind and the host one a sheet.
   * A name that was made by hand in the spreadsheet has none.
   */
  shown?: string;
}

export const newName: KeptName = { comment: "", visible: true, scope: null };

export const namePrefix = "name/";

export const nameKey = (name: string) => namePrefix + name.toLowerCase();

/** The name that the spreadsheet is to know one by: its own, or with a number after it where that is taken. */
export function freeName(shown: string, isTaken: (name: string) => boolean): string {
  for (let n = 1, name = shown; ; name = `${shown}.${++n}`) if (!isTaken(name)) return name;
}

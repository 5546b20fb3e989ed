/** Names of the workbook that a file for a reader is made from. */
import type { Block } from "../../host";
import { blockOf, placeOf } from "../../host";
import type { PackageParts } from "../file/package-parts";
import { childrenNamed } from "../file/xml-walk";

/** Names of the workbook, as formulas, by the sheet they belong to or by none. */
export interface FileName {
  readonly name: string;
  readonly sheet: string | undefined;
  readonly text: string;
  readonly isHidden: boolean;
}

export function namesOf(parts: PackageParts, workbook: string): readonly FileName[] {
  const xml = parts.text(workbook);
  const order = childrenNamed(workbook, xml, "sheets", "sheet").map(({ attributes }) => attributes.name);
  return childrenNamed(workbook, xml, "definedNames", "definedName").map(({ attributes, text }) => ({
    name: attributes.name ?? "",
    sheet: attributes.localSheetId === undefined ? undefined : order[Number(attributes.localSheetId)],
    text: text.trim(),
    isHidden: attributes.hidden === "1",
  }));
}

export const builtIn = { area: "_xlnm.Print_Area", titles: "_xlnm.Print_Titles" } as const;

/** The blocks of one of a sheet's own names; undefined where it has none, or one that is worked out. */
export function blocksNamed(
  names: readonly FileName[],
  name: string,
  sheet: string,
): readonly Block[] | undefined {
  const found = names.find(
    (one) =>
      one.name.toLowerCase() === name.toLowerCase() && one.sheet?.toLowerCase() === sheet.toLowerCase(),
  );
  const blocks = found?.text.match(/(?:[^,']|'[^']*')+/g)?.map((reference) => {
    const place = placeOf(reference, sheet);
    return place === undefined ? undefined : blockOf(place.address);
  });
  const known = blocks?.filter((block) => block !== undefined);
  return known === undefined || known.length === 0 || known.length < (blocks?.length ?? 0)
    ? undefined
    : known;
}

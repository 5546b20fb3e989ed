import type { WorksheetFunction } from "../../engine/formula";
import { namespace } from "../../engine/catalogue";
import type { Progress, RequestContext } from "../host";
import { inWorkbook, localAddress, placeOf, readBlocks, refuseReference, valuesAt } from "../host";
import { asWork } from "../work";
import type { Cells, Guard } from "../writing";
import { writeAndLook } from "../writing";

/** The formula of a filled form: `=SWARD.SEED_WEIGHT(Site!B2,7)`, left-out arguments at the end dropped. */
export function formulaText({ id }: WorksheetFunction, given: readonly string[]): string {
  const trimmed = given.map((text) => text.trim());
  const last = trimmed.reduce((end, text, i) => (text === "" ? end : i + 1), 0);
  return `=${namespace}.${id}(${trimmed.slice(0, last).join(",")})`;
}

export interface PutResult {
  readonly sheet: string;
  readonly address: string;
  readonly formula: string;
}

export type PutOutcome =
  | { readonly kind: "written"; readonly at: PutResult }
  | { readonly kind: "occupied"; readonly sheet: string; readonly address: string; readonly holds: string };

/** So many cells beside one tell whether it still is where it was. */
const mostBeside = 50;
const lastColumn = 16_383;

/**
 * What stands on both sides of a cell in its row: rows and columns put in or taken out change it. A table fills what is
 * above and below.
 */
async function besideCell(
  context: RequestContext,
  { sheet, top, left }: Pick<Cells, "sheet" | "top" | "left">,
): Promise<readonly Guard[]> {
  const before = { top, bottom: top, left: Math.max(0, left - mostBeside), right: left - 1 };
  const after = { top, bottom: top, left: left + 1, right: Math.min(lastColumn, left + mostBeside) };
  const blocks = [before, after].filter((block) => block.left <= block.right);
  const read = await readBlocks(
    context,
    blocks.map((block) => ({ sheet, block })),
  );
  return blocks.map((block, i) => ({ sheet, block, formulas: read[i]?.formulas ?? [] }));
}

/** Writes a formula into the selected cell; a cell that holds something is left alone until told otherwise. */
export const putInSelectedCell = (
  formula: string,
  progress: Progress,
  options: { readonly overwrite?: boolean } = {},
): Promise<PutOutcome> =>
  asWork({ work: "put" }, async (context, mark) => {
    const cell = context.workbook.getSelectedRange().getCell(0, 0);
    cell.load("address,formulas,rowIndex,columnIndex");
    const { worksheet } = cell;
    worksheet.load("id,name");
    await context.sync();
    const place = { sheet: worksheet.name, address: localAddress(cell.address) };
    const holds = String(cell.formulas[0]?.[0] ?? "");
    if (holds !== "" && options.overwrite !== true) return { kind: "occupied", ...place, holds };
    const rows = [[{ formula }]];
    // Rows may be put in above it before it is written: then something else stands there.
    const held: unknown = cell.formulas[0]?.[0] ?? "";
    const cells = { sheet: worksheet, top: cell.rowIndex, left: cell.columnIndex, rows, held };
    await writeAndLook(context, mark, [cells], { progress, guards: await besideCell(context, cells) });
    return { kind: "written", at: { ...place, formula } };
  });

/** The values behind a typed reference; without a sheet, the sheet that is open is meant. */
export const readAddress = (address: string, homeSheet?: string): Promise<unknown[][]> =>
  inWorkbook(async (context) => {
    const active = context.workbook.worksheets.getActiveWorksheet();
    active.load("name");
    await context.sync();
    const place = placeOf(address, homeSheet ?? active.name);
    return place === undefined ? refuseReference(address) : valuesAt(context, place.sheet, place.address);
  });

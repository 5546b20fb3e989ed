/** Everything that a workbook holds, cell by cell, so that two of them can be compared. */
import { cellName } from "../../src/workbench/host/area";
import type { Workbench } from "../../src/workbench/workbench";

export type Everything = Readonly<Record<string, unknown>>;

/** What stands in the cells, as Office.js hands it out. */
const contents = () =>
  Excel.run(async (context) => {
    const { worksheets, names, comments } = context.workbook;
    worksheets.load("items/name,items/visibility,items/tabColor,items/showGridlines");
    names.load("items/name,items/formula,items/comment,items/visible,items/scope");
    comments.load("items/content");
    await context.sync();
    const active = worksheets.getActiveWorksheet();
    active.load("name");
    const places = comments.items.map((comment) => comment.getLocation());
    places.forEach((place) => place.load("address"));
    const sheets = worksheets.items.map((sheet) => {
      const range = sheet.getUsedRangeOrNullObject();
      range.load("rowIndex,columnIndex,formulas,values,text,numberFormat,valueTypes");
      const frozen = sheet.freezePanes.getLocationOrNullObject();
      frozen.load("address");
      const { pageLayout } = sheet;
      pageLayout.load("orientation,paperSize,zoom,centerHorizontally,printGridlines,leftMargin,topMargin");
      const printed = pageLayout.getPrintAreaOrNullObject();
      const titles = pageLayout.getPrintTitleRowsOrNullObject();
      [printed, titles].forEach((one) => one.load("address"));
      const heads = pageLayout.headersFooters.defaultForAllPages;
      heads.load("leftHeader,centerHeader,rightHeader,leftFooter,centerFooter,rightFooter");
      return { sheet, range, frozen, pageLayout, printed, titles, heads };
    });
    await context.sync();
    const found: Record<string, unknown> = {
      active: active.name,
      sheets: worksheets.items.map(({ name }) => name),
    };
    for (const { sheet, range, frozen, pageLayout, printed, titles, heads } of sheets) {
      found[sheet.name] = [sheet.visibility, sheet.tabColor, sheet.showGridlines];
      found[`${sheet.name} layout`] = [
        frozen.isNullObject ? null : frozen.address,
        pageLayout.toJSON(),
        printed.isNullObject ? null : printed.address,
        titles.isNullObject ? null : titles.address,
        heads.toJSON(),
      ];
      if (range.isNullObject) continue;
      range.values.forEach((row, i) =>
        row.forEach((value, j) => {
          const held = [range.formulas, range.text, range.numberFormat, range.valueTypes].map(
            (grid) => (grid as unknown[][])[i]?.[j],
          );
          if (value === "" && held[0] === "" && held[2] === "General") return;
          found[`${sheet.name}!${cellName(range.columnIndex + j, range.rowIndex + i)}`] = [value, ...held];
        }),
      );
    }
    names.items.forEach(({ name, formula, comment, visible, scope }) => {
      found[`name ${name}`] = [formula, comment, visible, scope];
    });
    comments.items.forEach(({ content }, i) => {
      found[`comment ${places[i]?.address ?? ""}`] = content;
    });
    return found;
  });

/** What a cell looks like where nothing is said. */
const usual: Readonly<Record<string, unknown>> = {
  fontSize: 10,
  textColor: "#000000",
  wrapping: "overflow",
  verticalAlign: "bottom",
};

const unusual = (style: object): object =>
  Object.fromEntries(Object.entries(style).filter(([part, value]) => usual[part] !== value));

/** How the cells look and what limits them, as the spreadsheet has it. */
function looks({ model }: Workbench): Record<string, unknown> {
  const { getters } = model;
  const found: Record<string, unknown> = {};
  const unlessEmpty = (key: string, value: object | null | undefined) => {
    const told = JSON.stringify(value ?? {}, (_, part: unknown) =>
      typeof part === "object" && part !== null && !Array.isArray(part)
        ? Object.fromEntries(Object.entries(part).sort())
        : part,
    );
    if (told !== "{}") found[key] = told;
  };
  for (const sheetId of getters.getSheetIds()) {
    const sheet = getters.getSheetName(sheetId);
    const used = getters.getCells(sheetId).map(({ id }) => getters.getCellPosition(id));
    const ruled = getters
      .getDataValidationRules(sheetId)
      .flatMap(({ ranges }) => ranges.map(({ zone }) => zone));
    const bottom = Math.max(0, ...used.map(({ row }) => row), ...ruled.map((zone) => zone.bottom));
    const right = Math.max(0, ...used.map(({ col }) => col), ...ruled.map((zone) => zone.right));
    for (let row = 0; row <= bottom; row++) {
      found[`height ${sheet} ${row}`] = [getters.getRowSize(sheetId, row), getters.isRowHidden(sheetId, row)];
      for (let col = 0; col <= right; col++) {
        const position = { sheetId, col, row };
        const name = `${sheet}!${cellName(col, row)}`;
        unlessEmpty(`look ${name}`, unusual(getters.getCellStyle(position)));
        unlessEmpty(`border ${name}`, getters.getCellBorder(position));
        unlessEmpty(`limit ${name}`, getters.getValidationRuleForCell(position)?.criterion);
      }
    }
    for (let col = 0; col <= right; col++)
      found[`width ${sheet} ${col}`] = [getters.getColSize(sheetId, col), getters.isColHidden(sheetId, col)];
    found[`merges ${sheet}`] = getters
      .getMerges(sheetId)
      .map(({ left, top, right: end, bottom: low }) => `${cellName(left, top)}:${cellName(end, low)}`)
      .sort();
    found[`conditions ${sheet}`] = getters
      .getConditionalFormats(sheetId)
      .map(({ rule, ranges, stopIfTrue }) => JSON.stringify([rule, ranges, stopIfTrue ?? false]));
  }
  return found;
}

export async function everythingIn(bench: Workbench): Promise<Everything> {
  await bench.calculated();
  return { ...(await contents()), ...looks(bench) };
}

/** What differs, in a form that tells where and how. */
export const differences = (before: Everything, after: Everything): readonly string[] =>
  [...new Set([...Object.keys(before), ...Object.keys(after)])].flatMap((key) => {
    const [was, is] = [JSON.stringify(before[key]), JSON.stringify(after[key])];
    return was === is ? [] : [`${key}: ${was} became ${is}`];
  });

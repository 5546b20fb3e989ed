/** Puts a drawing on a sheet of the bid as a picture: below what is there, in place of the one put before. */
import type { RequestContext, Shape, ShapeCollection, Worksheet } from "../host";
import { blockOf, cellAddress, forNow, hostHas, localAddress, WorkbookTrouble } from "../host";
import { asWork } from "../work";
import type { Mark, Step } from "../marks";
import { idsOf } from "../marks";
import type { DrawingId } from "./all-drawings";
import { drawingKinds } from "./all-drawings";

/** A drawing as a picture that a host takes: a PNG, with its size on the sheet in points. */
export interface SheetPicture {
  readonly png: string;
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly description: string;
}

export interface Target {
  readonly drawing: DrawingId;
  /** What the sheet is called. */
  readonly sheet: string;
}

/** Hosts before this set have no pictures. */
export const canPutPictures = (): boolean => hostHas("ExcelApi", "1.9");

const shapeName = (drawing: DrawingId): string => `Swardsheet ${drawing}`;

/** Between the cells in use and a picture, and between two pictures. */
const gap = 18;

interface Box {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

const bottomOf = ({ top, height }: Box): number => top + height;

/**
 * Where a picture goes: where it stood before while it has room there, otherwise below the cells in use and below every
 * other picture.
 */
export function placeFor(
  size: Pick<Box, "width" | "height">,
  used: Box,
  before: Box | undefined,
  others: readonly Box[],
): Pick<Box, "left" | "top"> {
  const below = bottomOf(used) + gap;
  if (before !== undefined && before.top >= bottomOf(used)) {
    const clear = others.every(
      (other) =>
        bottomOf(other) <= before.top ||
        other.top >= before.top + size.height ||
        other.left >= before.left + size.width ||
        other.left + other.width <= before.left,
    );
    if (clear) return { left: before.left, top: before.top };
  }
  return { left: used.left, top: Math.max(below, ...others.map((other) => bottomOf(other) + gap)) };
}

/** The row, counted from 0, in which a height of the sheet lies: rows below the cells in use are all alike. */
async function rowAt(
  context: RequestContext,
  sheet: Worksheet,
  from: number,
  height: number,
): Promise<number> {
  const rows = Array.from({ length: mostRows }, (_, i) => forNow(sheet.getCell(from + i, 0)));
  for (const row of rows) row.load("top");
  await context.sync();
  const beyond = rows.findIndex(({ top }) => top >= height);
  return from + (beyond < 0 ? mostRows : beyond) - 1;
}

/** More rows than a picture that fits on a page ever covers. */
const mostRows = 160;

/** The cells that are printed, and the rows of the pictures as an area of their own: no page ends within a picture. */
function withPictures(printed: string, free: number, last: number): string {
  const [cells, pictures] = printed.split(",").map((address) => blockOf(localAddress(address)));
  if (cells === undefined) return printed;
  const area = (top: number, bottom: number) =>
    `${cellAddress(top, cells.left)}:${cellAddress(bottom, cells.right)}`;
  return [
    area(cells.top, Math.min(cells.bottom, free - 1)),
    area(free, Math.max(last, pictures?.bottom ?? last)),
  ].join(",");
}

/** The sheet as it is before the picture comes: its cells in use, its pictures and what of it is printed. */
async function loadedSheet(context: RequestContext, name: string) {
  const sheet = context.workbook.worksheets.getItemOrNullObject(name);
  sheet.load("id,name");
  await context.sync();
  if (sheet.isNullObject) {
    throw new WorkbookTrouble(
      `There is no sheet ${name}: it was deleted or renamed, so write the bid sheets anew.`,
    );
  }
  const used = sheet.getUsedRange();
  used.load("left,top,width,height,rowIndex,rowCount");
  const { shapes } = sheet;
  shapes.load("items/id,items/name,items/left,items/top,items/width,items/height");
  const printed = sheet.pageLayout.getPrintAreaOrNullObject();
  printed.load("address");
  await context.sync();
  return { sheet, used, shapes, printed };
}

type PictureStep = Extract<Step, { kind: "picture" }>;

/** Adds the picture under a name in passing, which the mark says before. */
async function addPicture(
  context: RequestContext,
  mark: Mark,
  shapes: ShapeCollection,
  png: string,
  step: PictureStep,
): Promise<Shape> {
  await mark.step(step);
  const picture = shapes.addImage(png);
  picture.load("id");
  picture.name = step.passing;
  try {
    await context.sync();
  } finally {
    const [added] = idsOf([picture]);
    if (added !== undefined) await mark.last({ ...step, added });
  }
  return picture;
}

/** Puts the picture on the sheet and answers with the sheet's name. */
export const putOnSheet = (
  { drawing, sheet: name }: Target,
  { png, width, height, title, description }: SheetPicture,
): Promise<string> =>
  asWork({ work: "drawing" }, async (context, mark) => {
    if (!canPutPictures()) {
      throw new WorkbookTrouble(
        "This version of Excel takes no pictures from an add-in: update Excel, then try again.",
      );
    }
    const { sheet, used, shapes, printed } = await loadedSheet(context, name);
    const before = shapes.items.filter((shape) => shape.name === shapeName(drawing));
    const others = shapes.items.filter((shape) => !before.includes(shape));
    const at = placeFor({ width, height }, used, before[0], others);
    const area = drawingKinds[drawing].isPrinted && !printed.isNullObject ? printed.address : undefined;
    // The new picture is whole before the old one goes, so that there always is one.
    const picture = await addPicture(context, mark, shapes, png, {
      kind: "picture",
      sheet: sheet.id,
      passing: `${shapeName(drawing)} ${mark.id}`,
      name: shapeName(drawing),
      before: before.map(({ id }) => id),
      known: shapes.items.map(({ id }) => id),
      printed: area?.split(",").map(localAddress).join(","),
    });
    picture.lockAspectRatio = false;
    picture.set({ ...at, width, height });
    picture.lockAspectRatio = true;
    picture.altTextTitle = title;
    picture.altTextDescription = description;
    const free = used.rowIndex + used.rowCount;
    const last = await rowAt(context, sheet, free, at.top + height);
    if (area !== undefined) sheet.pageLayout.setPrintArea(withPictures(area, free, last));
    for (const shape of before) shape.delete();
    picture.name = shapeName(drawing);
    sheet.activate();
    await context.sync();
    return name;
  });

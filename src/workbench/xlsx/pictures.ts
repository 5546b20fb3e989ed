/** Pictures on sheets, which the spreadsheet carries without their names and their texts for those who do not see them. */
import type { Book } from "../host/book";
import type { KeptShape } from "../host/shapes";
import { keptShape, SHAPE } from "../host/shapes";
import { all, first, parseXml, serializeXml } from "./dom";
import type { Media, Parts } from "./parts";

const drawingPath = (index: number): string => `xl/drawings/drawing${index}.xml`;

const imagesOf = (book: Book, sheetId: string): readonly string[] =>
  book.getters
    .getFigures(sheetId)
    .filter(({ tag }) => tag === "image")
    .map(({ id }) => id);

/** Says what kind of file the pictures are, which the spreadsheet leaves out. */
export function declareMedia(parts: Parts, media: Media): void {
  const path = "[Content_Types].xml";
  const types = parts.get(path);
  if (types === undefined) return;
  const endings = new Set([...media.keys()].map((one) => one.slice(one.lastIndexOf(".") + 1)));
  const declared = [...endings].map(
    (ending) => `<Default Extension="${ending}" ContentType="image/${ending === "jpg" ? "jpeg" : ending}"/>`,
  );
  parts.set(path, types.replace(/<Default /, `${declared.join("")}<Default `));
}

/** Writes the name and the texts of each picture of a sheet into its drawing. */
export function writePictures(book: Book, sheetId: string, index: number, parts: Parts): void {
  const text = parts.get(drawingPath(index));
  if (text === undefined) return;
  const drawing = parseXml(text);
  const pictures = all(drawing, "pic").flatMap((picture) => first(picture, "cNvPr") ?? []);
  imagesOf(book, sheetId).forEach((id, i) => {
    const { name, altTextTitle, altTextDescription } = keptShape(book, id);
    pictures[i]?.setAttribute("name", name);
    pictures[i]?.setAttribute("title", altTextTitle);
    pictures[i]?.setAttribute("descr", altTextDescription);
  });
  parts.set(drawingPath(index), serializeXml(drawing));
}

/** The pictures of a sheet's drawing, in their order, as the host keeps them. */
export function readPictures(parts: Parts, sheetPath: string): readonly KeptShape[] {
  const relations = parts.get(sheetPath.replace(/([^/]+)$/, "_rels/$1.rels"));
  if (relations === undefined) return [];
  const target = all(parseXml(relations), "Relationship")
    .find((one) => one.getAttribute("Type")?.endsWith("/drawing"))
    ?.getAttribute("Target");
  const drawing = parts.get(`xl/${target?.replace(/^(\.\.\/|\/xl\/)/, "") ?? ""}`);
  if (drawing === undefined) return [];
  return all(parseXml(drawing), "pic")
    .flatMap((picture) => first(picture, "cNvPr") ?? [])
    .map((told) => ({
      name: told.getAttribute("name") ?? "",
      altTextTitle: told.getAttribute("title") ?? "",
      altTextDescription: told.getAttribute("descr") ?? "",
      lockAspectRatio: true,
    }));
}

interface Figure {
  readonly id: string;
  readonly tag: string;
}

/** Gives the pictures that the spreadsheet read their names and texts back. */
export function takePictures(
  figures: readonly Figure[],
  pictures: readonly KeptShape[],
  hostState: Record<string, unknown>,
): void {
  const images = figures.filter(({ tag }) => tag === "image");
  images.forEach(({ id }, i) => {
    hostState[SHAPE + id] = pictures[i];
  });
}

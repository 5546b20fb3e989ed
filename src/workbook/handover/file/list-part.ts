/** The list of what was typed, put into a file as a sheet behind the others. */
import type { Pieces } from "../../host";
import { cellAddress } from "../../host";
import type { Held, Line } from "../handed-list";
import { handedListName, listHead, listWidths } from "../handed-list";
import type { PackageParts } from "./package-parts";
import { freeName } from "./package-paths";
import { sheetsOf } from "./workbook-part";
import { xmlHead, appended, escapeText, escapeXml, spliced } from "./xml";
import { childrenNamed } from "./xml-walk";

const sheetType = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml";

const lookedLike = (look: number | undefined): string => (look === undefined ? "" : ` s="${look}"`);

function plainCell(at: string, content: Held, look?: number, isError = false): string {
  if (typeof content === "number") return `<c r="${at}"${lookedLike(look)}><v>${content}</v></c>`;
  if (typeof content === "boolean") return `<c r="${at}" t="b"><v>${Number(content)}</v></c>`;
  if (content === "") return "";
  return isError
    ? `<c r="${at}" t="e"><v>${escapeXml(content)}</v></c>`
    : `<c r="${at}" t="inlineStr"><is><t xml:space="preserve">${escapeText(content)}</t></is></c>`;
}

function formulaCell(at: string, formula: string, shown: Held, look?: number, isError = false): string {
  const type =
    typeof shown === "number" ? "" : typeof shown === "boolean" ? ' t="b"' : isError ? ' t="e"' : ' t="str"';
  const value = typeof shown === "boolean" ? String(Number(shown)) : escapeText(String(shown));
  return `<c r="${at}"${lookedLike(look)}${type}><f>${escapeXml(formula.replace(/^=/, ""))}</f><v>${value}</v></c>`;
}

function rowOf(line: Line, row: number, look: number | undefined): string {
  const [sheet, cell, held, now, changed] = line.cells;
  const at = (column: number): string => cellAddress(row, column);
  const cells = [sheet, cell].map((content, column) => plainCell(at(column), content, look));
  cells.push(plainCell(at(2), held, look, line.isError));
  cells.push(formulaCell(at(3), now, line.shown, look, line.isError));
  if (changed !== "") cells.push(formulaCell(at(4), changed, ""));
  return `<row r="${row + 1}">${cells.join("")}</row>`;
}

/** The look of what a line tells, where it has one of its own. */
export type LookOf = (line: Line) => number | undefined;

/** Lines that are written at a time, in a few milliseconds. */
const linesAtATime = 500;

function* sheetXml(namespace: string, lines: readonly Line[], lookOf: LookOf): Pieces<string> {
  const head = listHead.map((texts, row) => {
    const cells = texts.map((text, column) => plainCell(cellAddress(row, column), text));
    return `<row r="${row + 1}">${cells.join("")}</row>`;
  });
  const columns = listWidths.map(
    (width, i) => `<col min="${i + 1}" max="${i + 1}" width="${width}" customWidth="1"/>`,
  );
  const rows: string[] = [];
  for (const [i, line] of lines.entries()) {
    if (i % linesAtATime === 0) yield i / lines.length;
    rows.push(rowOf(line, head.length + i, lookOf(line)));
  }
  return (
    `${xmlHead}<worksheet xmlns="${escapeXml(namespace)}">` +
    `<cols>${columns.join("")}</cols><sheetData>${[...head, ...rows].join("")}</sheetData></worksheet>`
  );
}

/** How the file spells a sheet of its own, which depends on the edition of the standard and on who wrote it. */
function spellingOf(workbook: string, xml: string) {
  const all = childrenNamed(workbook, xml, "sheets", "sheet");
  const [first] = all;
  const id = Object.keys(first?.attributes ?? {}).find((name) => name.endsWith(":id")) ?? "r:id";
  const declaredAs = `xmlns:${id.slice(0, -":id".length)}`;
  const declared = first?.attributes[declaredAs];
  const prefix = first?.prefix ?? "";
  const root = first?.parent?.parent?.attributes ?? {};
  return {
    all: first?.parent,
    tag: `${prefix}sheet`,
    id,
    declaration: declared === undefined ? "" : ` ${declaredAs}="${escapeXml(declared)}"`,
    namespace: root[prefix === "" ? "xmlns" : `xmlns:${prefix.slice(0, -1)}`] ?? "",
    nextNumber: Math.max(0, ...all.map(({ attributes }) => Number(attributes.sheetId ?? 0))) + 1,
    names: all.map(({ attributes }) => attributes.name ?? ""),
  };
}

/** Adds the list behind the other sheets and answers with its name. */
export function* addingList(
  parts: PackageParts,
  workbook: string,
  lines: readonly Line[],
  lookOf: LookOf,
): Pieces<string> {
  const { all, tag, id, declaration, namespace, nextNumber, names } = spellingOf(
    workbook,
    parts.text(workbook),
  );
  const [beside] = sheetsOf(parts, workbook);
  // A file that was read has a sheet.
  if (all === undefined || beside === undefined) return "";
  const name = handedListName(names);
  const folder = beside.part.slice(0, beside.part.lastIndexOf("/") + 1);
  const taken = new Set(parts.names.map((one) => one.toLowerCase()));
  const part = freeName(taken, (number) => `${folder}sheet${number}.xml`.toLowerCase());
  const text = yield* sheetXml(namespace, lines, lookOf);
  const relation = parts.add(part, text, sheetType, workbook, beside.relation.element.attributes.Type ?? "");
  const entry = `<${tag} name="${escapeXml(name)}" sheetId="${nextNumber}"${declaration} ${id}="${relation}"/>`;
  // Only the relations and the types were written since: the workbook's own part is as it was read.
  parts.replace(workbook, spliced(parts.text(workbook), [appended(parts.text(workbook), all, entry)]));
  return name;
}

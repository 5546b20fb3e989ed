/** The findings on a sheet of their own, for the estimator's file: what is open, and what was set aside and why. */
import { fittingCell, runsOf, withNewSheets, writeCells } from "../writing";
import { asWork } from "../work";
import type { Finding } from "./check";
import { weights } from "./check";
import type { SetAside } from "./set-aside";
import { asideOf } from "./set-aside";
import type { Worksheet } from "../host";
import { dateTold } from "../host";

const heads = ["Sheet", "Cell", "Check", "What was found", "What to do", "Source"] as const;
const asideHeads = ["Sheet", "Cell", "Check", "What was found", "Set aside because", "Set aside on"] as const;
const widths = [14, 8, 34, 60, 50, 50];
const pointsPerCharacter = 5.6;

const baseName = "Checks";

/** The first name that is free: Checks, Checks 2... */
function freeName(taken: readonly string[]): string {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  for (let n = 1; ; n++) {
    const name = n === 1 ? baseName : `${baseName} ${n}`;
    if (!used.has(name.toLowerCase())) return name;
  }
}

type Line = readonly string[];

const padded = (line: Line): string[] => heads.map((_, i) => line[i] ?? "");

/** The lines of the sheet, and which of them are headings. */
export function listLines(
  findings: readonly Finding[],
  aside: readonly SetAside[],
  day: number,
): { readonly lines: readonly Line[]; readonly headings: readonly number[] } {
  const lines: Line[] = [[`Checks of ${dateTold(day)}`], ["For the estimator's file, not for the client."]];
  const headings: number[] = [0];
  const heading = (...texts: readonly string[]) => {
    headings.push(lines.length);
    lines.push(texts);
  };
  const open = findings.filter((finding) => asideOf(finding, aside) === undefined);
  for (const [weight, title] of Object.entries(weights)) {
    const these = open.filter(({ check }) => check.weight === weight);
    if (these.length === 0) continue;
    lines.push([]);
    heading(title);
    heading(...heads);
    for (const { check, sheet, address, sentence, todo } of these)
      lines.push([sheet, address, check.title, sentence, todo, check.source]);
  }
  if (open.length === 0) lines.push([], ["Nothing is open."]);
  const put = findings.flatMap((finding) => {
    const one = asideOf(finding, aside);
    return one === undefined ? [] : [{ finding, one }];
  });
  if (put.length > 0) {
    lines.push([]);
    heading("Set aside");
    heading(...asideHeads);
    for (const { finding, one } of put) {
      const { check, sheet, address, sentence } = finding;
      lines.push([sheet, address, check.title, sentence, one.reason, one.on === 0 ? "" : dateTold(one.on)]);
    }
  }
  return { lines, headings };
}

/** Adds the sheet and opens it; answers with its name. */
export const putOnSheet = (
  findings: readonly Finding[],
  aside: readonly SetAside[],
  day: number,
): Promise<string> =>
  asWork({ work: "findings" }, (context, mark) =>
    withNewSheets(context, mark, {
      namesFor: (taken) => [freeName(taken)],
      fill: async ([sheet]) => {
        if (sheet === undefined) return baseName;
        sheet.load("name");
        const { lines, headings } = listLines(findings, aside, day);
        await writeCells(context, [
          { sheet, top: 0, left: 0, rows: lines.map((line) => padded(line).map(fittingCell)) },
        ]);
        layOut(sheet, lines, headings);
        await context.sync();
        return sheet.name;
      },
    }),
  );

function layOut(sheet: Worksheet, lines: readonly Line[], headings: readonly number[]): void {
  const range = sheet.getRangeByIndexes(0, 0, lines.length, heads.length);
  range.format.verticalAlignment = "Top";
  widths.forEach((width, i) => (range.getColumn(i).format.columnWidth = width * pointsPerCharacter));
  for (const row of headings) range.getRow(row).format.font.bold = true;
  for (const { row, count } of runsOf(lines, (line) => line.length > 1))
    sheet.getRangeByIndexes(row, 0, count, heads.length).format.wrapText = true;
  sheet.pageLayout.orientation = "Landscape";
  sheet.pageLayout.zoom = { horizontalFitToPages: 1 };
  sheet.activate();
}

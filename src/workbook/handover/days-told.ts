/** Days and times among what others changed, told as such and not as the figures that cells keep of them. */
import type { RequestContext } from "../host";
import { blockOf, dateTold, readBlocks } from "../host";
import type { CellEdit, ListedEdit } from "./handed-list";
import { showsTime } from "./reader/number-format";

const minutesOfDay = 1440;

/** A figure as a day, a time of day, or both. */
function dayTold(text: string): string {
  const figure = Number(text);
  if (text.trim() === "" || !Number.isFinite(figure) || figure < 0) return text;
  const minutes = Math.round(figure * minutesOfDay);
  const ofDay = minutes % minutesOfDay;
  const [hour = "", minute = ""] = [Math.floor(ofDay / 60), ofDay % 60].map((part) =>
    String(part).padStart(2, "0"),
  );
  const day = minutes < minutesOfDay ? "" : dateTold(Math.floor(minutes / minutesOfDay));
  return [day, ofDay === 0 && day !== "" ? "" : `${hour}:${minute}`].filter((part) => part !== "").join(" ");
}

/** The edits, days and times in them told as dates where the cell, or its line in the list, shows such. */
export async function withDaysTold(
  context: RequestContext,
  edits: readonly ListedEdit[],
): Promise<readonly CellEdit[]> {
  const { worksheets } = context.workbook;
  const asked = edits.flatMap((edit) => {
    const isThere = edit.kind !== "row or sheet deleted";
    const places = [...(isThere ? [edit] : []), edit.listed];
    return places.flatMap(({ sheet, address }) => {
      const block = blockOf(address);
      return block === undefined ? [] : [{ edit, sheet: worksheets.getItem(sheet), block }];
    });
  });
  const read = await readBlocks(context, asked, { formats: true });
  const days = new Set(
    asked.filter((_, i) => showsTime(String(read[i]?.formats[0]?.[0]))).map(({ edit }) => edit),
  );
  return edits.map((edit) => {
    const { sheet, address, kind } = edit;
    const told = days.has(edit) ? dayTold : (text: string) => text;
    return { sheet, address, kind, old: told(edit.old), now: told(edit.now) };
  });
}

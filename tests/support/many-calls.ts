/** A sheet of zones with five calls a row, for work on large workbooks. */
const perRow = 5;

export function zonesOfCalls(calls: number): Record<string, string> {
  const content: Record<string, string> = {};
  const put = (row: number, cells: readonly string[]) =>
    cells.forEach((cell, i) => (content[`${"ABCDEFGHI"[i] ?? ""}${row}`] = cell));
  put(1, [
    "Zone",
    "Area (ft2)",
    "Seeding rate (lb/1000 ft2)",
    "Seed (lb)",
    "Starter bought (lb)",
    "Spray (fl oz)",
    "Peat (ft3)",
    "Bags",
    "Notes",
  ]);
  for (let row = 2; row <= calls / perRow + 1; row++) {
    put(row, [
      `Zone ${row}`,
      String(1000 + row),
      "7",
      `=SWARD.SEED_WEIGHT(B${row},C${row})`,
      `=SWARD.FERTILISER_WEIGHT(B${row},1,0.18)`,
      `=SWARD.LABEL_DOSE(B${row},4)`,
      `=SWARD.TOPDRESS_VOLUME(B${row},0.25)`,
      `=SWARD.PACKS(D${row},25)`,
      `surveyed with wheel and tape, corner stakes ${row} left in the ground`,
    ]);
  }
  return content;
}

/** The same zones before anything is worked out for them: a row for each call that is to be added. */
export const zonesWithoutCalls = (rows: number): Record<string, string> =>
  Object.fromEntries(
    Array.from({ length: rows + 1 }, (_, row) => {
      const cells =
        row === 0
          ? ["Zone", "Area (ft2)", "Seeding rate (lb/1000 ft2)"]
          : [`Zone ${row}`, `${1000 + row}`, "7"];
      return cells.map((cell, i) => [`${"ABC"[i] ?? ""}${row + 1}`, cell]);
    }).flat() as [string, string][],
  );

/** What a work does in its workbook where nobody disturbs it. */
import type { Workbench } from "../../../src/workbench/node";
import { ActionType } from "../../../src/workbench/protocol/wire";
import type { WorkCase } from "./cases";
import type { State } from "./state";
import { stateOf } from "./state";

/** What the undisturbed work makes of its workbook, and the operations of its requests. */
export interface Known {
  readonly work: WorkCase;
  readonly copy: object;
  readonly before: State;
  readonly after: State;
  /** Of each request, whether its operations do something, or only say which object is meant. */
  readonly operations: readonly (readonly boolean[])[];
  /** The request in which the work says what it is about to do. */
  readonly marked: number;
  /** The request in which it reads what cells hold for the first time. */
  readonly read: number;
  /** The first and the last of the rows that it puts in. */
  readonly rowsPut: readonly number[];
}

/** The first and the last row of an address such as 3:5, counted from 0. */
const rowsIn = (address: string): readonly number[] => address.split(":").map((row) => Number(row) - 1);

type Request = Workbench["log"][number]["request"];

/** Whether a work says in this request what it is about to do. */
export const isMark = (request: Request): boolean => JSON.stringify(request).includes("Swardsheet work ");

/** Whether it reads in this request what cells hold. */
export const readsCells = ({ Actions }: Request): boolean =>
  Actions.some(({ QueryInfo }) => QueryInfo?.Select?.includes("formulas") === true);

export async function knowing(bench: Workbench, work: WorkCase): Promise<Known> {
  bench.disturb();
  bench.situation.worksOutWhenRead = true;
  await work.prepare(bench);
  // With its first request the library sends one of its own, which is no part of the work.
  await Excel.run(async (context) => {
    context.workbook.worksheets.load("items/name");
    await context.sync();
  });
  await bench.calculated();
  const copy = bench.copy();
  bench.open(structuredClone(copy));
  const before = stateOf(bench);
  const from = bench.log.length;
  await work.act(bench);
  await bench.calculated();
  const requests = bench.log.slice(from).map(({ request }) => request);
  const operations = requests.map(({ Actions }) =>
    Actions.map(({ ActionType: type }) => type !== ActionType.Instantiate),
  );
  const rowsPut = requests.flatMap(({ ObjectPaths: paths }) =>
    Object.values(paths).flatMap(({ Name, ParentObjectPathId: rows }) =>
      Name === "Insert" ? rowsIn(String(paths[String(rows)]?.ArgumentInfo?.Arguments?.[0])) : [],
    ),
  );
  const marked = requests.findIndex(isMark);
  const read = requests.findIndex(readsCells);
  return {
    read: read + 1,
    marked: marked + 1,
    work,
    copy,
    before,
    after: stateOf(bench),
    operations,
    rowsPut,
  };
}

/** The cells of sheets that were there before which the work gives something else. */
export const targetsOf = ({ before, after }: Known): readonly (readonly [string, number, number])[] =>
  before.sheets.flatMap(({ id, isVisible, cells }) => {
    // Nobody types into a sheet that cannot be seen.
    if (!isVisible) return [];
    const then = after.sheets.find((sheet) => sheet.id === id)?.cells;
    return [...new Set([...cells.keys(), ...(then?.keys() ?? [])])].flatMap(
      (at): (readonly [string, number, number])[] => {
        const [row = 0, column = 0] = at.split(",").map(Number);
        return cells.get(at) === then?.get(at) ? [] : [[id, row, column]];
      },
    );
  });

export const isNew =
  ({ before }: Known) =>
  ({ id }: { readonly id: string }): boolean =>
    !before.sheets.some((sheet) => sheet.id === id);

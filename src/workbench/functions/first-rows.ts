import type { Spreadsheet } from "../host/spreadsheet";
import { FIRST_ROWS } from "../host/written-formulas";
import type { Argument, Cell } from "./marshal";

const asBlock = (argument: Argument): Cell[][] =>
  Array.isArray(argument) ? argument : [[argument ?? { value: null }]];

/** The first rows of a block, so many of them, or all for 0: how the spreadsheet works out `B2:INDEX(C2:C9,n)`. */
export function registerFirstRows({ registries: { functionRegistry } }: Spreadsheet): void {
  functionRegistry.replace(FIRST_ROWS, {
    description: "The first rows of a block.",
    category: "Lookup",
    isExported: true,
    args: [
      {
        name: "block",
        description: "The block.",
        type: ["ANY", "RANGE"],
        acceptErrors: true,
        acceptMatrix: true,
      },
      { name: "rows", description: "How many rows, 0 for all.", type: ["NUMBER"] },
    ],
    compute(block: Argument, rows: Argument) {
      const columns = asBlock(block);
      const [[count] = []] = asBlock(rows);
      const height = columns[0]?.length ?? 0;
      const wanted = Math.trunc(Number(count?.value));
      if (typeof count?.value === "string") return count;
      if (wanted < 0 || wanted > height) return { value: "#REF!", message: "The block has fewer rows." };
      return columns.map((column) => column.slice(0, wanted === 0 ? height : wanted));
    },
  });
}

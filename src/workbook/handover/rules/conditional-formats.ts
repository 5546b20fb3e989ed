/** The conditional formats of sheets that compare with formulas. */
import type { ConditionalCellValueRule, ConditionalFormat, RequestContext } from "../../host";
import { inPortions, localAddress } from "../../host";
import type { Rule } from "./rule";

/** The kinds that compare with formulas. */
type Kind = "Custom" | "CellValue";

interface Found {
  readonly sheet: string;
  readonly id: string;
  readonly kind: Kind;
}

interface Held {
  readonly formulas: readonly string[];
  /** How a format by the value of its cells compares. */
  readonly operator?: ConditionalCellValueRule["operator"];
}

/** Asks what a format compares with; answers after the next request. */
function looked(format: ConditionalFormat, kind: Kind): () => Held {
  if (kind === "Custom") {
    const { rule } = format.custom;
    rule.load("formula");
    return () => ({ formulas: [rule.formula] });
  }
  const { cellValue } = format;
  cellValue.load("rule");
  return () => {
    const { formula1, formula2, operator } = cellValue.rule;
    const formulas = [formula1, formula2].filter((one) => one !== undefined && one !== "").map(String);
    return { formulas, operator };
  };
}

/**
 * What is set is read as seen from the range that a format is asked of, what is answered as seen from its own first
 * cell: so it is asked of that one.
 */
function asRule(
  context: RequestContext,
  { sheet, id, kind }: Found,
  areas: readonly string[],
  { formulas, operator }: Held,
): Rule {
  const [first = "A1"] = areas[0]?.split(":") ?? [];
  const there = (): ConditionalFormat =>
    context.workbook.worksheets.getItem(sheet).getRange(first).conditionalFormats.getItem(id);
  return {
    sheet,
    address: `conditional format of ${areas.join(" ")}`,
    kind: "conditional format",
    formulas,
    put: ([formula1 = "", formula2]) => {
      if (operator === undefined) there().custom.rule.formula = formula1;
      else there().cellValue.rule = { formula1, ...(formula2 === undefined ? {} : { formula2 }), operator };
    },
    look: () => {
      const held = looked(there(), kind);
      return () => held().formulas;
    },
  };
}

/** Those whose formulas are wanted. */
export async function conditionalFormats(
  context: RequestContext,
  sheets: readonly string[],
  wanted: (formula: string) => boolean,
): Promise<readonly Rule[]> {
  const { worksheets } = context.workbook;
  const all = sheets.map((sheet) => {
    const formats = worksheets.getItem(sheet).getRange().conditionalFormats;
    formats.load("items/id,items/type");
    return { sheet, formats };
  });
  await context.sync();
  const comparing = all.flatMap(({ sheet, formats }) =>
    formats.items.flatMap((format) => {
      const kind = String(format.type);
      return kind === "Custom" || kind === "CellValue" ? [{ sheet, format, kind } as const] : [];
    }),
  );
  const asked = await inPortions(context, comparing, ({ sheet, format, kind }) => {
    const { areas } = format.getRanges();
    areas.load("items/address");
    const found: Found = { sheet, id: format.id, kind };
    return { found, areas, look: looked(format, kind) };
  });
  return asked.flatMap(({ found, areas, look }) => {
    const held = look();
    const addresses = areas.items.map(({ address }) => localAddress(address));
    return held.formulas.some(wanted) ? [asRule(context, found, addresses, held)] : [];
  });
}

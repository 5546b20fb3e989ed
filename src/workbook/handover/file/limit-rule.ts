/** A limit on what may be typed, as a sheet's part holds it. */
import { limitTitle } from "../../writing";
import type { Block } from "../../host";
import { shortAddress } from "../../host";
import { escapeXml } from "./xml";

export interface FileLimit {
  /** Blocks with one rule, which is spelt for the first cell of the first. */
  readonly blocks: readonly Block[];
  readonly rule: { readonly list: string } | { readonly formula: string };
  readonly message: string;
}

export function validation(prefix: string, { blocks, rule, message }: FileLimit): string {
  const [type, formula] =
    "list" in rule ? ["list", `"${rule.list}"`] : ["custom", rule.formula.replace(/^=/, "")];
  return (
    `<${prefix}dataValidation type="${type}" allowBlank="1" showInputMessage="1" showErrorMessage="1" ` +
    `errorTitle="${escapeXml(limitTitle)}" error="${escapeXml(message)}" sqref="${blocks.map(shortAddress).join(" ")}">` +
    `<${prefix}formula1>${escapeXml(formula)}</${prefix}formula1></${prefix}dataValidation>`
  );
}

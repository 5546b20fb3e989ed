/** The elements that a sheet's part says a cell's content with. */
import { escapeText, escapeXml } from "./xml";

export const formulaElement = (prefix: string, formula: string, array?: string): string => {
  const block = array === undefined ? "" : ` t="array" ref="${escapeXml(array)}"`;
  return `<${prefix}f${block}>${escapeXml(formula)}</${prefix}f>`;
};

export const typeOf = (value: string | number): string => (typeof value === "number" ? "" : ' t="inlineStr"');

export const valueElement = (prefix: string, value: string | number): string =>
  typeof value === "number"
    ? `<${prefix}v>${value}</${prefix}v>`
    : `<${prefix}is><${prefix}t xml:space="preserve">${escapeText(value)}</${prefix}t></${prefix}is>`;

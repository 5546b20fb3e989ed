/** A theme with the colours and fonts of the file's own, and nothing else of it. */
import { escapeXml } from "../file/xml";
import { walk } from "../file/xml-walk";

const colours = "dk1 lt1 dk2 lt2 accent1 accent2 accent3 accent4 accent5 accent6 hlink folHlink".split(" ");

const isColour = /^[0-9A-F]{6}$/i;
/** The names of fonts that people use hold letters and blanks. */
export const isFontName = /^[\p{L} -]{1,31}$/u;

const fill = '<a:solidFill><a:schemeClr val="phClr"/></a:solidFill>';
const line = `<a:ln w="6350">${fill}</a:ln>`;
const effect = "<a:effectStyle><a:effectLst/></a:effectStyle>";
const thrice = (xml: string): string => xml.repeat(3);

export function themeXml(part: string, xml: string): string {
  const found = new Map<string, string>();
  const fonts = { majorFont: "Calibri", minorFont: "Calibri" };
  walk(part, xml, {
    open({ name, attributes, parent }) {
      const { val = "", lastClr = "", typeface = "" } = attributes;
      const colour = name === "srgbClr" ? val : name === "sysClr" ? lastClr : "";
      if (parent?.parent?.name === "clrScheme" && isColour.test(colour)) found.set(parent.name, colour);
      const of = parent?.name;
      if (name === "latin" && (of === "majorFont" || of === "minorFont") && isFontName.test(typeface))
        fonts[of] = typeface;
    },
  });
  const scheme = colours
    .map((name) => {
      const colour = found.get(name) ?? (name.startsWith("lt") ? "FFFFFF" : "000000");
      return `<a:${name}><a:srgbClr val="${colour}"/></a:${name}>`;
    })
    .join("");
  const font = (name: keyof typeof fonts): string =>
    `<a:${name}><a:latin typeface="${escapeXml(fonts[name])}"/><a:ea typeface=""/><a:cs typeface=""/></a:${name}>`;
  return (
    '<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" name="Office"><a:themeElements>' +
    `<a:clrScheme name="Office">${scheme}</a:clrScheme>` +
    `<a:fontScheme name="Office">${font("majorFont")}${font("minorFont")}</a:fontScheme>` +
    `<a:fmtScheme name="Office"><a:fillStyleLst>${thrice(fill)}</a:fillStyleLst><a:lnStyleLst>${thrice(line)}</a:lnStyleLst>` +
    `<a:effectStyleLst>${thrice(effect)}</a:effectStyleLst><a:bgFillStyleLst>${thrice(fill)}</a:bgFillStyleLst></a:fmtScheme>` +
    "</a:themeElements></a:theme>"
  );
}

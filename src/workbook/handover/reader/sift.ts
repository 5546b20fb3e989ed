/** XML of which only what is known to tell nothing stays: the elements and attributes that are named, and no text. */
import { walk } from "../file/xml-walk";

/** The elements that may stay, each with those of its attributes that may. */
export type Allowed = Readonly<Record<string, readonly string[]>>;

/** What an attribute of a look holds: a number, a colour, a word of the standard. Nobody's sentence looks like it. */
const plain = /^[\w#.+%-]{0,40}$/;

export function attributesOf(attributes: Readonly<Record<string, string>>, names: readonly string[]): string {
  return names
    .map((name) => {
      const value = attributes[name];
      return value !== undefined && plain.test(value) ? ` ${name}="${value}"` : "";
    })
    .join("");
}

/** An element that is not named goes with all that is inside it. */
export function sifted(part: string, xml: string, allowed: Allowed): string {
  const out: string[] = [];
  let dropped: object | undefined;
  walk(part, xml, {
    open(element) {
      if (dropped !== undefined) return;
      const names = allowed[element.name];
      if (names === undefined) dropped = element;
      else out.push(`<${element.name}${attributesOf(element.attributes, names)}>`);
    },
    close(element) {
      if (dropped === undefined) out.push(`</${element.name}>`);
      else if (dropped === element) dropped = undefined;
    },
  });
  return out.join("").replace(/<(\w+)\b([^<>]*)><\/\1>/g, "<$1$2/>");
}

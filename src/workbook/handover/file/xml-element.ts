/** An element of an XML text, with its places in it. */

export interface XmlElement {
  /** Without its prefix. */
  readonly name: string;
  /** With its colon, or nothing. */
  readonly prefix: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly parent: XmlElement | undefined;
  readonly start: number;
  /** Where the start tag ends. */
  readonly inside: number;
  /** Written as one tag that is start and end. */
  readonly single: boolean;
  /** Where the end tag begins; only known once the element is closed, as is all that follows. */
  insideEnd: number;
  end: number;
  /** The text directly inside, without that of elements inside. */
  text: string;
}

/** An attribute by its name without prefix, where the prefix is the file's own choice. */
export function attributeOf({ attributes }: XmlElement, local: string): string | undefined {
  const name = Object.keys(attributes).find((one) => one.endsWith(`:${local}`));
  return name === undefined ? undefined : attributes[name];
}

/** Names of parts, and how one part names another. */

/** Parts are the same whatever case their letters have (ISO/IEC 29500-2). */
export const keyOf = (name: string): string => name.toLowerCase();

const folderOf = (part: string): string => part.slice(0, part.lastIndexOf("/") + 1);

export const relationsName = (part: string): string =>
  `${folderOf(part)}_rels/${part.slice(folderOf(part).length)}.rels`;

/** A target as seen from the part that names it. */
export function resolved(from: string, target: string): string {
  const steps: string[] = target.startsWith("/") ? [] : folderOf(from).split("/").slice(0, -1);
  for (const step of target.split("/")) {
    if (step === "..") steps.pop();
    else if (step !== "." && step !== "") steps.push(step);
  }
  return steps.join("/");
}

export function relativeTo(from: string, target: string): string {
  const home = folderOf(from);
  return target.startsWith(home) ? target.slice(home.length) : `/${target}`;
}

/** A name with a number that is not taken. */
export function freeName(taken: ReadonlySet<string>, name: (number: number) => string): string {
  let number = 1;
  while (taken.has(name(number))) number++;
  return name(number);
}

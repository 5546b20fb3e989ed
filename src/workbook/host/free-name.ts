/** A sheet's name may be so long. */
const longestName = 31;

/** The first name that is free: Working, Working 2... */
export function freeSheetName(wanted: string, taken: readonly string[]): string {
  const used = new Set(taken.map((name) => name.toLowerCase()));
  for (let n = 1; ; n++) {
    const end = n === 1 ? "" : ` ${n}`;
    const name = wanted.slice(0, longestName - end.length) + end;
    if (!used.has(name.toLowerCase())) return name;
  }
}

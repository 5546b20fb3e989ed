/** Lists and records, in no more than the language that every engine has in which a worksheet function runs. */

/** The members of all lists, one after the other. */
export function flat<T>(lists: readonly (readonly T[])[]): T[] {
  const all: T[] = [];
  for (const list of lists) for (const one of list) all.push(one);
  return all;
}

export const flatMap = <A, B>(list: readonly A[], turn: (one: A, i: number) => readonly B[]): B[] =>
  flat(list.map(turn));

/** The same record with its values turned. */
export const mapValues = <A, B>(
  record: Readonly<Record<string, A>>,
  turn: (value: A) => B,
): Readonly<Record<string, B>> => {
  const turned: Record<string, B> = {};
  for (const name of Object.keys(record)) turned[name] = turn(record[name] as A);
  return turned;
};

/** The greatest and the least of any number of figures; a function takes only so many arguments at once. */
export const greatest = (figures: readonly number[]): number =>
  figures.reduce((most, figure) => Math.max(most, figure), Number.NEGATIVE_INFINITY);
export const least = (figures: readonly number[]): number =>
  figures.reduce((low, figure) => Math.min(low, figure), Number.POSITIVE_INFINITY);

/** Puts all of a list at the end of another. */
export function addAll<T>(into: T[], list: Iterable<T>): void {
  for (const one of list) into.push(one);
}

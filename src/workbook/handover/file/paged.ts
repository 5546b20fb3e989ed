/** Numbers one behind the other, page by page: as they grow none is copied, and less than a page is taken too many. */
type Numbers = Uint8Array | Uint16Array | Int32Array | Uint32Array | Float64Array;

/** A workbook may have hundreds of sheets, so that a page is small. */
const bits = 12;
const inPage = 2 ** bits;
const offset = inPage - 1;

export class Paged {
  private readonly pages: Numbers[] = [];

  constructor(private readonly page: new (length: number) => Numbers) {}

  at(i: number): number {
    return this.pages[i >> bits]?.[i & offset] ?? 0;
  }

  set(i: number, number: number): void {
    const page = (this.pages[i >> bits] ??= new this.page(inPage));
    page[i & offset] = number;
  }

  clear(): void {
    this.pages.length = 0;
  }

  /** The same numbers in another order: at each place the number that stood at the place named there. */
  inOrder(order: Iterable<number>): Paged {
    const sorted = new Paged(this.page);
    let to = 0;
    for (const from of order) sorted.set(to++, this.at(from));
    return sorted;
  }
}

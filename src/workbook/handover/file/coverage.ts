/** Which cells of a sheet are taken, column by column: asked and added to many thousand times. */
import type { Block } from "../../host";

interface Rows {
  readonly top: number;
  readonly bottom: number;
}

/** A block that is wider is kept as it is: a rule on a whole sheet is one, and not one a column. */
const widest = 64;

/** Runs of rows in order, none of which touch. */
class Runs {
  private readonly tops: number[] = [];
  private readonly bottoms: number[] = [];

  /** The first run that ends at a row or below it. */
  private from(row: number): number {
    let [low, high] = [0, this.bottoms.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.bottoms[middle] ?? 0) < row) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  add(top: number, bottom: number): void {
    const first = this.from(top - 1);
    let last = first;
    let [up, down] = [top, bottom];
    while (last < this.tops.length && (this.tops[last] ?? 0) <= bottom + 1) {
      up = Math.min(up, this.tops[last] ?? up);
      down = Math.max(down, this.bottoms[last] ?? down);
      last++;
    }
    if (last === first + 1) {
      this.tops[first] = up;
      this.bottoms[first] = down;
      return;
    }
    this.tops.splice(first, last - first, up);
    this.bottoms.splice(first, last - first, down);
  }

  touches(top: number, bottom: number): boolean {
    const first = this.from(top);
    return first < this.tops.length && (this.tops[first] ?? 0) <= bottom;
  }

  /** What of some rows is in no run. */
  free({ top, bottom }: Rows): readonly Rows[] {
    const found: Rows[] = [];
    let next = top;
    for (let i = this.from(top); i < this.tops.length && (this.tops[i] ?? 0) <= bottom; i++) {
      const [up = 0, down = 0] = [this.tops[i], this.bottoms[i]];
      if (up > next) found.push({ top: next, bottom: up - 1 });
      next = down + 1;
    }
    if (next <= bottom) found.push({ top: next, bottom });
    return found;
  }
}

export class Coverage {
  private readonly columns = new Map<number, Runs>();
  private readonly wide: Block[] = [];

  add({ top, left, bottom, right }: Block): void {
    if (right - left >= widest) {
      this.wide.push({ top, left, bottom, right });
      return;
    }
    for (let column = left; column <= right; column++) {
      const runs = this.columns.get(column) ?? new Runs();
      runs.add(top, bottom);
      this.columns.set(column, runs);
    }
  }

  private wideOver({ left, right }: Block): readonly Block[] {
    return this.wide.filter((block) => block.left <= right && left <= block.right);
  }

  /** The columns in use among those of a block, of which there may be more than a sheet has. */
  private runsIn({ left, right }: Block): readonly Runs[] {
    if (right - left >= this.columns.size)
      return [...this.columns]
        .filter(([column]) => left <= column && column <= right)
        .map(([, runs]) => runs);
    const found: Runs[] = [];
    for (let column = left; column <= right; column++) {
      const runs = this.columns.get(column);
      if (runs !== undefined) found.push(runs);
    }
    return found;
  }

  touches(block: Block): boolean {
    return (
      this.wideOver(block).some(({ top, bottom }) => top <= block.bottom && block.top <= bottom) ||
      this.runsIn(block).some((runs) => runs.touches(block.top, block.bottom))
    );
  }

  /** The parts of a block, in its whole width, that nothing touches. */
  free(block: Block): readonly Block[] {
    let rows: readonly Rows[] = [{ top: block.top, bottom: block.bottom }];
    const wide = this.wideOver(block);
    const others = new Runs();
    for (const { top, bottom } of wide) others.add(top, bottom);
    for (const runs of [others, ...this.runsIn(block)]) rows = rows.flatMap((run) => runs.free(run));
    return rows.map(({ top, bottom }) => ({ ...block, top, bottom }));
  }
}

/**
 * The spreadsheet tidies a formula when it reads it: references become capitals, spaces round them go. What was
 * written is kept beside it and answered for as long as the cell still holds the tidied form.
 */
export class WrittenFormulas {
  private readonly byCell = new Map<number, { written: string; tidied: string }>();

  remember(cellId: number, written: string, tidied: string): void {
    if (written === tidied) this.byCell.delete(cellId);
    else this.byCell.set(cellId, { written, tidied });
  }

  asWritten(cellId: number, tidied: string): string {
    const known = this.byCell.get(cellId);
    return known?.tidied === tidied ? known.written : tidied;
  }
}

/** Something that the pane keeps on this machine alone. */
export class Kept<What> {
  /** For a host that keeps nothing for its pages. */
  private inMemory: What;

  constructor(
    private readonly place: string,
    private readonly isWhat: (told: unknown) => told is What,
    private readonly nothing: What,
  ) {
    this.inMemory = nothing;
  }

  read(): What {
    try {
      const told: unknown = JSON.parse(localStorage.getItem(this.place) ?? "null");
      return this.isWhat(told) ? told : this.nothing;
    } catch {
      return this.inMemory;
    }
  }

  write(what: What): void {
    this.inMemory = what;
    try {
      localStorage.setItem(this.place, JSON.stringify(what));
    } catch {
      // Without it, a pane that is opened again knows of nothing: what was done can be undone by hand.
    }
  }
}

/** A rule that compares with formulas: of a conditional format, or of what a cell takes. */
export interface Rule {
  readonly sheet: string;
  /** Where it stands, as it is told. */
  readonly address: string;
  readonly kind: "conditional format" | "validation";
  readonly formulas: readonly string[];
  /** Asks for other formulas; done with the next request. */
  put(formulas: readonly string[]): void;
  /** Asks what it compares with; answers after the next request. */
  look(): () => readonly string[];
}

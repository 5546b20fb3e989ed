/**
 * Why an input is refused. A refusal is data until it reaches a person: its kind says which cell error it
 * becomes, its argument says where the trouble is, its sentence says what to enter.
 */
export type RefusalKind = "invalid" | "no such row";

export class Refusal extends Error {
  override readonly name = "Refusal";

  constructor(
    readonly argument: string,
    sentence: string,
    readonly kind: RefusalKind = "invalid",
  ) {
    super(sentence);
  }

  get sentence(): string {
    return this.message;
  }
}

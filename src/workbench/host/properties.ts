import type { WireObject } from "../protocol/wire-object";
import type { Book } from "./book";

export const PROPERTY = "property/";

export class DocumentProperties implements WireObject {
  readonly $type = "DocumentProperties";
  readonly $scalars = ["Author", "Company", "Subject", "Title"];

  constructor(private readonly book: Book) {}

  private text(name: string): string {
    return (this.book.kept(PROPERTY + name) as string | undefined) ?? "";
  }

  get Author(): string {
    return this.text("author");
  }

  set Author(author: string) {
    this.book.keep(`${PROPERTY}author`, author);
  }

  get Company(): string {
    return this.text("company");
  }

  set Company(company: string) {
    this.book.keep(`${PROPERTY}company`, company);
  }

  get Subject(): string {
    return this.text("subject");
  }

  set Subject(subject: string) {
    this.book.keep(`${PROPERTY}subject`, subject);
  }

  get Title(): string {
    return this.text("title");
  }

  set Title(title: string) {
    this.book.keep(`${PROPERTY}title`, title);
  }
}

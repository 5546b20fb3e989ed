import { itemNotFound } from "../protocol/host-error";
import type { WireCollection, WireObject } from "../protocol/wire-object";
import type { Book } from "./book";
import { SETTING } from "./kept-state";

class Setting implements WireObject {
  readonly $type = "Setting";
  readonly $scalars = ["Key", "Value"];

  constructor(
    private readonly book: Book,
    readonly Key: string,
  ) {}

  get Id(): string {
    return this.Key;
  }

  get Value(): unknown {
    return this.book.kept(SETTING + this.Key);
  }

  set Value(value: unknown) {
    this.book.keep(SETTING + this.Key, value);
  }

  Delete(): void {
    this.book.keep(SETTING + this.Key, undefined);
  }
}

/** Values an add-in keeps in the workbook, beside its sheets. */
export class SettingCollection implements WireCollection {
  readonly $type = "SettingCollection";
  readonly $scalars = [];

  constructor(private readonly book: Book) {}

  $items(): WireObject[] {
    return this.book.keptUnder(SETTING).map(([key]) => new Setting(this.book, key));
  }

  GetCount(): number {
    return this.book.keptUnder(SETTING).length;
  }

  Add(key: string, value: unknown): WireObject {
    this.book.keep(SETTING + key, value);
    return new Setting(this.book, key);
  }

  GetItemOrNullObject(key: string): WireObject | null {
    return this.book.kept(SETTING + key) === undefined ? null : new Setting(this.book, key);
  }

  GetItem(key: string): WireObject {
    const setting = this.GetItemOrNullObject(key);
    if (!setting) throw itemNotFound(`there is no setting "${key}"`);
    return setting;
  }
}

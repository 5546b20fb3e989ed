import type * as Owl from "@odoo/owl";
import type { Book } from "../host/book";
import type { Spreadsheet } from "../host/spreadsheet";

export interface ViewOptions {
  owl: typeof Owl;
  library: Spreadsheet;
  templates: string;
  place: HTMLElement;
  tell: (sentence: string) => void;
}

type Notification = { text: string };

/** The spreadsheet on the page; it is put up anew for every workbook. */
export class SpreadsheetView {
  private app: Owl.App | undefined;

  constructor(private readonly options: ViewOptions) {}

  async show(book: Book): Promise<void> {
    const { owl, library, templates, place, tell } = this.options;
    this.app?.destroy();
    let isRefused = false;
    // What was said of an entry is over with the next one.
    book.model.on("command-dispatched", this, (command: unknown) => {
      const { type } = command as { type: string };
      if (isRefused && type === "UPDATE_CELL") tell("");
      isRefused &&= type !== "UPDATE_CELL";
    });
    this.app = new owl.App(library.Spreadsheet, {
      props: {
        model: book.model,
        notifyUser: ({ text }: Notification) => tell(text),
        raiseError: (text: string, then?: () => void) => {
          // An entry that a limit refused is answered in the limit's own words.
          tell(book.takeRefusal() ?? text);
          isRefused = true;
          then?.();
        },
        askConfirmation: (text: string, confirmed: () => void, cancelled?: () => void) => {
          if (window.confirm(text)) confirmed();
          else cancelled?.();
        },
      },
      templates,
      translateFn: (text: string) => text,
    });
    await this.app.mount(place);
  }
}

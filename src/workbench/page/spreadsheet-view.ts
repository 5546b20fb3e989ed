import type * as Owl from "@odoo/owl";
import type { Model, Spreadsheet } from "../host/spreadsheet";

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

  async show(model: Model): Promise<void> {
    const { owl, library, templates, place, tell } = this.options;
    this.app?.destroy();
    this.app = new owl.App(library.Spreadsheet, {
      props: {
        model,
        notifyUser: ({ text }: Notification) => tell(text),
        raiseError: (text: string, then?: () => void) => {
          tell(text);
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

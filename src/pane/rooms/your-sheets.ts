/** The estimator's own sheets: functions added to a table, and every call of the functions in the workbook. */
import { html, render } from "lit-html";
import type { Room } from "../room";
import { CallsPart } from "./your-sheets/calls";
import { OwnTablePart } from "./your-sheets/own-table";

export class YourSheetsRoom implements Room {
  private readonly table: OwnTablePart;
  private readonly calls: CallsPart;

  constructor(private readonly panel: HTMLElement) {
    this.table = new OwnTablePart(
      panel,
      () => this.draw(),
      () => void this.calls.look(),
    );
    this.calls = new CallsPart(panel, () => this.draw());
    this.draw();
  }

  shown(): void {
    void this.calls.look();
  }

  private draw(): void {
    render(
      html`
        <h2>Your sheets</h2>
        ${this.table.view()}
        <div class="more">${this.calls.view()}</div>
      `,
      this.panel,
    );
  }
}

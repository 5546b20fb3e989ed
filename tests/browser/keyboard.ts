/** Hands on the keyboard: whatever is done to the workbook here is done with keys alone, as a person does it. */
import type { Page } from "playwright-core";
import type { OpenWorkbench } from "./open-workbench";

interface Place {
  readonly sheet: string;
  readonly col: number;
  readonly row: number;
}

const columnOf = (letters: string): number =>
  [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1;

const placeOf = (address: string): Omit<Place, "sheet"> => {
  const [, letters = "", digits = ""] = /^([A-Z]+)(\d+)$/.exec(address) ?? [];
  return { col: columnOf(letters), row: Number(digits) - 1 };
};

/** More keys than this to one cell, and something is wrong. */
const patience = 40;

export class Keyboard {
  /** How many cells were typed, pasted or filled into. */
  cells = 0;

  constructor(readonly bench: OpenWorkbench) {}

  private get page(): Page {
    return this.bench.page;
  }

  private get at(): Promise<Place> {
    return this.page.evaluate(() => {
      const { getters } = (window.workbench as NonNullable<typeof window.workbench>).model;
      const { sheetId, col, row } = getters.getActivePosition();
      return { sheet: getters.getSheetName(sheetId), col, row };
    });
  }

  async press(key: string, times = 1): Promise<void> {
    for (let i = 0; i < times; i++) await this.page.keyboard.press(key);
  }

  /** Puts the keyboard on the grid, and lets the page use the clipboard, as a browser does for one that a person works in. */
  async toGrid(): Promise<void> {
    await this.page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
    for (let i = 0; i < 3 && !(await this.isOnGrid()); i++) await this.press("F6");
  }

  private isOnGrid(): Promise<boolean> {
    return this.page.evaluate(() => document.activeElement?.matches(".o-grid .o-composer") === true);
  }

  /** Goes into the pane with F6, and there on with Tab until the element is reached. */
  async toPane(selector: string): Promise<void> {
    for (let i = 0; i < 3; i++) {
      if (await this.page.evaluate(() => document.activeElement?.id === "pane")) break;
      await this.press("F6");
    }
    const reached = () =>
      this.bench.pane.evaluate((wanted) => {
        let at = document.activeElement;
        while (at?.shadowRoot?.activeElement) {
          if (at.matches(wanted)) return true;
          at = at.shadowRoot.activeElement;
        }
        return (at?.closest(wanted) ?? null) !== null;
      }, selector);
    for (let i = 0; i < patience; i++) {
      if (await reached()) return;
      await this.press("Tab");
    }
    throw new Error(`Tab does not lead to ${selector} in the pane.`);
  }

  /** Goes with F6 to the buttons above the sheet, and presses one of them. */
  async pressButton(id: string): Promise<void> {
    const at = () => this.page.evaluate(() => document.activeElement?.closest(".wb-bar button")?.id);
    for (let i = 0; i < 4 && (await at()) !== "open"; i++) await this.press("F6");
    for (let i = 0; i < 3 && (await at()) !== id; i++) await this.press("Tab");
    if ((await at()) !== id) throw new Error(`No key leads to the button ${id}.`);
    await this.press("Enter");
  }

  async toSheet(name: string): Promise<void> {
    for (let i = 0; i < patience; i++) {
      const names = await this.page.evaluate(() => {
        const { getters } = (window.workbench as NonNullable<typeof window.workbench>).model;
        return getters.getVisibleSheetIds().map((id) => getters.getSheetName(id));
      });
      const { sheet } = await this.at;
      if (sheet === name) return;
      await this.press(names.indexOf(sheet) < names.indexOf(name) ? "Shift+PageDown" : "Shift+PageUp");
    }
    throw new Error(`No key leads to the sheet ${name}.`);
  }

  async goTo(sheet: string, address: string): Promise<void> {
    await this.toSheet(sheet);
    const goal = placeOf(address);
    for (let i = 0; i < patience; i++) {
      const { col, row } = await this.at;
      if (col === goal.col && row === goal.row) return;
      await this.press(row < goal.row ? "ArrowDown" : "ArrowUp", Math.abs(goal.row - row));
      await this.press(col < goal.col ? "ArrowRight" : "ArrowLeft", Math.abs(goal.col - col));
    }
    throw new Error(`No key leads to ${sheet}!${address}.`);
  }

  /** Presses a key on what asks for a file, once more where nothing came of it, and gives the file. */
  async giveFile(
    ask: () => Promise<void>,
    file: { name: string; mimeType: string; buffer: Buffer },
  ): Promise<void> {
    for (let i = 0; i < 3; i++) {
      const came = this.page.waitForEvent("filechooser", { timeout: 4000 }).catch(() => undefined);
      await ask();
      const chooser = await came;
      if (chooser !== undefined) return chooser.setFiles(file);
    }
    throw new Error("No key asks for a file.");
  }

  /** Types into a cell that takes it, once more where a busy page lost the keys: a person looks whether it is there. */
  async type(sheet: string, address: string, text: string): Promise<void> {
    const before = await this.contentOf(sheet, address);
    for (let i = 0; i < 3; i++) {
      await this.offer(sheet, address, text);
      if (await this.isEntered(sheet, address, before, text)) return;
      await this.press("Escape");
    }
    throw new Error(`${sheet}!${address} did not take ${text}.`);
  }

  /** Types into a cell, which may refuse it, and presses Enter. Between the first key and the next a page has the time to draw itself. */
  async offer(sheet: string, address: string, text: string): Promise<void> {
    await this.goTo(sheet, address);
    await this.page.keyboard.type(text.slice(0, 1));
    await this.drawn();
    await this.page.keyboard.type(text.slice(1));
    await this.press("Enter");
    this.cells++;
  }

  /** What stands in a cell as it would be edited. */
  private contentOf(sheet: string, address: string): Promise<string> {
    const { col, row } = placeOf(address);
    return this.page.evaluate(
      ([name, at]) => {
        const { getters } = (window.workbench as NonNullable<typeof window.workbench>).model;
        const sheetId = getters.getSheetIdByName(name);
        return sheetId === undefined ? "" : getters.getCellText({ sheetId, ...at }, { showFormula: true });
      },
      [sheet, { col, row }] as const,
    );
  }

  private async isEntered(sheet: string, address: string, before: string, text: string): Promise<boolean> {
    for (let waited = 0; waited < 2000; waited += 50) {
      const now = await this.contentOf(sheet, address);
      if (now !== before || now === text) return true;
      await this.page.waitForTimeout(50);
    }
    return false;
  }

  private drawn(): Promise<unknown> {
    return this.page.evaluate(() => new Promise(requestAnimationFrame));
  }

  /** Goes into the selected cell with F2. */
  async edit(): Promise<void> {
    await this.press("F2");
    await this.drawn();
  }

  /** Erases the text of the selected cell within it, and enters that. */
  async erase(): Promise<void> {
    await this.edit();
    await this.press("Control+a");
    await this.press("Backspace");
    await this.press("Enter");
  }

  /** Types down a column, or along rows with Tab, from one cell on. */
  async typeRows(sheet: string, address: string, rows: readonly (readonly string[])[]): Promise<void> {
    const { col, row } = placeOf(address);
    for (const [down, cells] of rows.entries())
      for (const [across, text] of cells.entries()) {
        if (text === "") continue;
        await this.type(sheet, nameOf(col + across, row + down), text);
      }
  }

  /** Selects cells with Shift and the arrow keys. */
  async select(sheet: string, range: string): Promise<void> {
    const [from = "", to = from] = range.split(":");
    await this.goTo(sheet, from);
    const [a, b] = [placeOf(from), placeOf(to)];
    await this.press("Shift+ArrowDown", b.row - a.row);
    await this.press("Shift+ArrowRight", b.col - a.col);
  }

  /** Puts text on the clipboard, as another program would, and pastes it with Ctrl+V. */
  async paste(sheet: string, address: string, rows: readonly (readonly string[])[]): Promise<void> {
    const text = rows.map((cells) => cells.join("\t")).join("\n");
    await this.page.evaluate((given) => navigator.clipboard.writeText(given), text);
    await this.goTo(sheet, address);
    const before = await this.contentOf(sheet, address);
    await this.press("Control+v");
    await this.page.waitForTimeout(150);
    await this.isEntered(sheet, address, before, rows[0]?.[0] ?? "");
    this.cells += rows.flat().filter((cell) => cell !== "").length;
  }

  /** Fills the first row of a range down over the rest, with Ctrl+D. */
  async fillDown(sheet: string, range: string): Promise<void> {
    await this.select(sheet, range);
    await this.press("Control+d");
    await this.page.waitForTimeout(50);
    const [from = "", to = from] = range.split(":");
    const [a, b] = [placeOf(from), placeOf(to)];
    this.cells += (b.row - a.row) * (b.col - a.col + 1);
  }
}

export function nameOf(col: number, row: number): string {
  let letters = "";
  for (let rest = col + 1; rest > 0; rest = Math.floor((rest - 1) / 26))
    letters = String.fromCharCode(65 + ((rest - 1) % 26)) + letters;
  return `${letters}${row + 1}`;
}

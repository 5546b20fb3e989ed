/** The workbook's own file, asked for as Office.js asks the host. */
import { beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Workbench } from "../../src/workbench/node";
import { start } from "./fixtures/start";

let bench: Workbench;
beforeAll(async () => {
  bench = await start();
});
beforeEach(() => bench.reset());

const asked = <T>(ask: (done: (result: Office.AsyncResult<T>) => void) => void) =>
  new Promise<Office.AsyncResult<T>>((resolve) => ask(resolve));

const fileOf = (type: Office.FileType, sliceSize = 4 * 1024 * 1024) =>
  asked<Office.File>((done) => Office.context.document.getFileAsync(type, { sliceSize }, done));

const closed = (file: Office.File) => asked<void>((done) => file.closeAsync(done));

const slicesOf = (file: Office.File) =>
  Promise.all(
    Array.from({ length: file.sliceCount }, (_, i) =>
      asked<Office.Slice>((done) => file.getSliceAsync(i, done)),
    ),
  );

describe("the workbook's own file", () => {
  it("comes in slices that together are the file, as it stood when it was asked for", async () => {
    expect(Office.context.requirements.isSetSupported("CompressedFile", "1.1")).toBe(true);
    bench.setCells("Sheet1", { A1: "4200", B1: "=A1*2" });
    const { value: file } = await fileOf(Office.FileType.Compressed, 700);
    bench.setCell("Sheet1", "A1", "1");
    const slices = await slicesOf(file);
    expect(slices.length).toBe(Math.ceil(file.size / 700));
    expect(slices.slice(0, -1).every(({ value }) => value.size === 700)).toBe(true);
    const bytes = Uint8Array.from(slices.flatMap(({ value }) => value.data as number[]));
    expect(bytes.length).toBe(file.size);
    expect((await closed(file)).status).toBe(Office.AsyncResultStatus.Succeeded);
    await bench.importXlsx(bytes);
    expect(bench.value("Sheet1", "B1")).toBe(8400);
  });

  it("is given as a workbook alone, and not as a text or a print", async () => {
    for (const type of [Office.FileType.Text, Office.FileType.Pdf]) {
      const { status, error } = await fileOf(type);
      expect([status, error.code]).toEqual([Office.AsyncResultStatus.Failed, 1009]);
    }
  });

  it("is given no third time until one is closed, and a closed one no more", async () => {
    const [{ value: first }, { value: second }] = [
      await fileOf(Office.FileType.Compressed),
      await fileOf(Office.FileType.Compressed),
    ];
    const third = await fileOf(Office.FileType.Compressed);
    expect([third.status, third.error.code]).toEqual([Office.AsyncResultStatus.Failed, 11000]);
    await closed(first);
    expect((await slicesOf(first))[0]?.status).toBe(Office.AsyncResultStatus.Failed);
    const again = await fileOf(Office.FileType.Compressed);
    expect(again.status).toBe(Office.AsyncResultStatus.Succeeded);
    await Promise.all([second, again.value].map(closed));
  });
});

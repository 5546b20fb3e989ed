import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { version } from "../../src/engine/edition/edition";

test("the edition is the version of the package", () => {
  const text = readFileSync(new URL("../../package.json", import.meta.url), "utf8");
  expect(version).toBe((JSON.parse(text) as { version: string }).version);
});

/** What axe finds wrong with a page of the pane. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type axe from "axe-core";
import type { Frame } from "playwright-core";

const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export async function violations(pane: Frame): Promise<string[]> {
  await pane.evaluate(source);
  const results = await pane.evaluate(async () => {
    const { axe: checker } = window as unknown as { axe: typeof axe };
    // A color that is still on its way to another is no color that anyone is meant to read.
    for (const animation of document.getAnimations()) {
      if (animation.effect?.getComputedTiming().endTime !== Infinity) animation.finish();
    }
    return checker.run(document, { resultTypes: ["violations"] });
  });
  return results.violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`));
}

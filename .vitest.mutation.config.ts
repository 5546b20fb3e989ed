import { defineConfig } from "vitest/config";

/** The tests that every single change in the engine is held against: those that need no program beside them. */
export default defineConfig({
  test: {
    include: ["tests/engine/**/*.test.ts", "tests/published/**/*.test.ts"],
    exclude: ["tests/engine/{libreoffice,ironcalc,pack-mix-native,geo-native,left-out}.test.ts"],
    testTimeout: 60_000,
  },
});

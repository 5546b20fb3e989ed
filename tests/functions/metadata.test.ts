import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import AjvDraft04 from "ajv-draft-04";
import { describe, expect, test } from "vitest";
import { catalogue, namespace } from "../../src/engine/catalogue";
import { metadata } from "../../src/functions/metadata";

const committed = readFileSync(new URL("../../src/functions/functions.json", import.meta.url), "utf8");

describe("functions.json", () => {
  test("is what the catalogue says now", () => {
    expect(committed).toBe(`${JSON.stringify(metadata(), null, 2)}\n`);
  });

  test("passes the custom functions part of the manifest's own schema", () => {
    const path = createRequire(import.meta.url).resolve(
      "@microsoft/app-manifest/build/json-schemas/teams/v1.23/MicrosoftTeams.schema.json",
    );
    const schema = JSON.parse(readFileSync(path, "utf8")) as { definitions: object };
    const ajv = new AjvDraft04({ strict: false, validateFormats: false, allErrors: true });
    const validate = ajv.compile({
      definitions: schema.definitions,
      $ref: "#/definitions/extensionCustomFunctions",
    });
    const { functions } = JSON.parse(committed) as { functions: unknown };
    const passes = validate({ functions, namespace: { id: namespace, name: namespace } });
    expect(validate.errors ?? []).toEqual([]);
    expect(passes).toBe(true);
  });

  test("names every parameter once and keeps optional ones at the end", () => {
    for (const { id, parameters } of catalogue) {
      const ids = parameters.map((parameter) => parameter.id);
      expect(new Set(ids).size, id).toBe(ids.length);
      const optional = parameters.map(({ blank }) => blank === "default");
      expect([...optional].sort(), id).toEqual(optional);
    }
  });
});

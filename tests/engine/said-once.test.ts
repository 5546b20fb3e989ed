/**
 * What a function is and how it is worked out is said in its record, where the pane and the documentation
 * read it. A comment above the record that says it again is read by neither, and stays behind when the record
 * changes.
 */
import { readdirSync, readFileSync } from "node:fs";
import ts from "typescript";
import { expect, test } from "vitest";
import { catalogue } from "../../src/engine/catalogue";

const folder = new URL("../../src/engine/", import.meta.url);

/** The id of a record; a parameter has an id as well, but no sentence. */
function idOfRecord(node: ts.Node): string | undefined {
  if (ts.isObjectLiteralExpression(node)) {
    const given = new Map(
      node.properties
        .filter(ts.isPropertyAssignment)
        .flatMap(({ name, initializer }) =>
          ts.isIdentifier(name) ? [[name.text, initializer] as const] : [],
        ),
    );
    const id = given.get("id");
    if (given.has("sentence") && id !== undefined && ts.isStringLiteral(id)) return id.text;
  }
  return ts.forEachChild(node, idOfRecord);
}

/** Every record in a source text: its id, and all comments directly before its declaration. */
function recordsIn(text: string): readonly (readonly [id: string, comment: string])[] {
  const { statements } = ts.createSourceFile("source.ts", text, ts.ScriptTarget.Latest);
  return statements.filter(ts.isVariableStatement).flatMap((statement) => {
    const id = idOfRecord(statement);
    const comments = ts.getLeadingCommentRanges(text, statement.getFullStart()) ?? [];
    const comment = comments.map(({ pos, end }) => text.slice(pos, end)).join("\n");
    return id === undefined ? [] : [[id, comment] as const];
  });
}

/** Signs are compared as what plain letters write for them; the other punctuation is dropped. */
const wordsOf = (text: string): readonly string[] =>
  text
    .normalize("NFKC")
    .toLowerCase()
    .replaceAll(/\/\*+|\*+\/|\/{2,}/g, " ")
    .replaceAll(/×|\btimes\b/g, " x ")
    .replaceAll(/÷|\bdivided by\b/g, " / ")
    .replaceAll("π", " pi ")
    .replaceAll("δ", "d")
    .match(/\/|\p{L}[\p{L}\p{N}]*|\p{N}+(?:\.\p{N}+)?/gu) ?? [];

/**
 * So many words in a row are a repetition, or all of a shorter equation. Five in a row may be a unit alone
 * ("in lb per 1000 ft²", "in US gal per acre") or the build of a sentence: the record of MARGIN_PRICE has
 * "margin is a share of the price", and the comment above it rightly says "markup is a share of the cost".
 */
const manyWords = 6;

/** The first words of a text that a comment says again. */
function saidAgain(text: string, comment: string): string | undefined {
  const words = wordsOf(text);
  const many = Math.min(manyWords, words.length);
  const heard = ` ${wordsOf(comment).join(" ")} `;
  return words
    .slice(many - 1)
    .map((_last, start) => words.slice(start, start + many).join(" "))
    .find((row) => heard.includes(` ${row} `));
}

const commentOf = new Map(
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .flatMap((name) => recordsIn(readFileSync(new URL(name, folder), "utf8"))),
);

test("every record of the catalogue is found in the sources", () => {
  expect([...commentOf.keys()].sort()).toEqual(catalogue.map(({ id }) => id).sort());
});

test("no comment above a record says its sentence or its equation again", () => {
  const repeated = catalogue.flatMap(({ id, sentence, equation }) =>
    Object.entries({ sentence, equation }).flatMap(([what, text]) => {
      const row = saidAgain(text, commentOf.get(id) ?? "");
      return row === undefined ? [] : [`${id} says its ${what} again: ${row}`];
    }),
  );
  expect(repeated).toEqual([]);
});

test("a comment that says them again would be found, in plain letters as well", () => {
  for (const { id, sentence, equation } of catalogue) {
    const above = `/**\n * ${sentence}\n *\n * ${equation}\n */`;
    const source = `${above}\nexport const one = formula({ id: "${id}", sentence: "" });`;
    const [[found, comment] = ["", ""]] = recordsIn(source);
    expect(found).toBe(id);
    expect([saidAgain(sentence, comment), saidAgain(equation, comment)], id).not.toContain(undefined);
  }
  expect(saidAgain("area × depth ÷ 2", "/** Area x depth / 2, roughly. */")).toBe("area x depth / 2");
  expect(saidAgain("π × width² − x₁", "// pi times width2 - x1")).toBe("pi x width2 x1");
  expect(saidAgain("area × depth", "/** Depth of an area. */")).toBeUndefined();
});

/** The list of what is published, with sizes and hashes: whoever puts it on a server can see that nothing was changed. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { filesBelow } from "./places";

/** In the list there is everything but itself. */
export const listName = "contents.txt";

export interface PublishedFile {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** What is to be put on a server: all that is built but the workbench. */
export const publishedFiles = (built: string): readonly PublishedFile[] =>
  filesBelow(built)
    .filter((path) => !path.startsWith("workbench/") && path !== listName)
    .map((path) => {
      const content = readFileSync(join(built, path));
      return { path, bytes: content.length, sha256: createHash("sha256").update(content).digest("hex") };
    });

/** As `sha256sum` writes and checks it; the size stands in a remark before each file. */
export const contentsList = (files: readonly PublishedFile[]): string =>
  [
    "# What is published, each file with its size and its hash; checked with: sha256sum --check contents.txt",
    ...files.flatMap(({ path, bytes, sha256 }) => [`# ${bytes} bytes`, `${sha256}  ${path}`]),
    "",
  ].join("\n");

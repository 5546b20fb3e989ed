/** The last step of a build: the notices of what was bundled, and the list of what is published. */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { contentsList, listName, publishedFiles } from "./contents";
import { bundledPackages, noticesPage } from "./notices";
import { builtFolder, root } from "./places";

const policyOf = (page: string): string => {
  const found = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(page)?.[1];
  if (found === undefined) throw new Error("The help page that was built has no content policy.");
  return found;
};

const notices = noticesPage(bundledPackages(builtFolder));
// Committed, so that a library that came in, or a license that changed, is seen in the change that did it.
const committed = join(root, "src/pane/pages/notices.html");
if (!existsSync(committed) || readFileSync(committed, "utf8") !== notices) writeFileSync(committed, notices);
const policy = policyOf(readFileSync(join(builtFolder, "support.html"), "utf8"));
writeFileSync(join(builtFolder, "notices.html"), notices.replace("{policy}", policy));

writeFileSync(join(builtFolder, listName), contentsList(publishedFiles(builtFolder)));

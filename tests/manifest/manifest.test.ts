// @vitest-environment jsdom
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { OfficeAddinManifest } from "office-addin-manifest";
import { describe, expect, it } from "vitest";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const source = readFileSync(join(root, "manifest.xml"), "utf8");
const manifest = new DOMParser().parseFromString(source, "application/xml");
const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as { version: string };

/** The origin that the build replaces by the one that the files are served from. */
const origin = "https://localhost:3000/";

const all = (selector: string) => [...manifest.querySelectorAll(selector)];
const attributes = (elements: Element[], name: string) =>
  elements.map((element) => element.getAttribute(name) ?? "");
const resources = all("Resources > * > *");
const resource = (id: string | null | undefined) =>
  resources.find((element) => element.id === id)?.getAttribute("DefaultValue");

/**
 * The children of each element in the sequence of Microsoft's schemas for task pane add-ins
 * (OfficeAppManifestV1_1.xsd, TaskPaneAppVersionOverridesV1_0.xsd); those marked with "!" must be present.
 */
const sequences: Readonly<Record<string, string>> = {
  OfficeApp:
    "Id! AlternateId Version! ProviderName! DefaultLocale! DisplayName! Description! IconUrl HighResolutionIconUrl " +
    "SupportUrl AppDomains Hosts! Requirements DefaultSettings! Permissions! Dictionary VersionOverrides",
  VersionOverrides:
    "Description Requirements Hosts Resources WebApplicationInfo EquivalentAddins VersionOverrides",
  "VersionOverrides > Hosts > Host": "AllFormFactors DesktopFormFactor",
  DesktopFormFactor: "GetStarted FunctionFile ExtensionPoint!",
  'ExtensionPoint[xsi\\:type="CustomFunctions"]': "Script! Page! Metadata Namespace",
  GetStarted: "Title! Description! LearnMoreUrl!",
  Group: "Label! Icon! Control!",
  Control: "Label! Supertip! Icon! Action!",
  Supertip: "Title! Description!",
  Action: "TaskpaneId SourceLocation! Title",
  Resources: "bt:Images bt:Urls bt:ShortStrings bt:LongStrings",
};

describe("the elements of the manifest", () => {
  it("are well-formed XML of a task pane add-in", () => {
    expect(all("parsererror")).toEqual([]);
    expect(manifest.documentElement.getAttribute("xsi:type")).toBe("TaskPaneApp");
    expect(attributes(all("VersionOverrides"), "xsi:type")).toEqual(["VersionOverridesV1_0"]);
  });

  it.each(Object.entries(sequences))("of %s stand in the schema's order", (selector, sequence) => {
    const allowed = sequence.split(" ").map((name) => name.replace("!", ""));
    const required = sequence.split(" ").filter((name) => name.endsWith("!"));
    const parents = all(selector);
    expect(parents.length).toBeGreaterThan(0);
    for (const parent of parents) {
      const names = [...parent.children].map((child) => child.tagName);
      expect(names).toEqual(allowed.filter((name) => names.includes(name)));
      expect(names).toEqual(expect.arrayContaining(required.map((name) => name.replace("!", ""))));
    }
  });

  it("say who the add-in is and what it may do", () => {
    expect(manifest.querySelector("Id")?.textContent).toMatch(
      /^[\da-f]{8}-[\da-f]{4}-4[\da-f]{3}-[89ab][\da-f]{3}-[\da-f]{12}$/,
    );
    expect(manifest.querySelector("Permissions")?.textContent).toBe("ReadWriteDocument");
    expect(manifest.querySelector("DefaultLocale")?.textContent).toBe("en-US");
    expect(attributes(all("OfficeApp > Hosts > Host"), "Name")).toEqual(["Workbook"]);
    expect(attributes(all("VersionOverrides > Hosts > Host"), "xsi:type")).toEqual(["Workbook"]);
  });

  it("ask for the requirement sets once, in the base manifest, where they decide whether the add-in is offered", () => {
    const sets = all("Requirements Set").map((set) => [
      set.getAttribute("Name"),
      set.getAttribute("MinVersion"),
    ]);
    expect(sets).toEqual([
      ["ExcelApi", "1.10"],
      ["CustomFunctionsRuntime", "1.2"],
    ]);
    expect(all("VersionOverrides Requirements")).toEqual([]);
  });

  it("put the functions into the namespace of the worksheet vocabulary", () => {
    expect(resource(manifest.querySelector("Namespace")?.getAttribute("resid"))).toBe("SWARD");
  });

  it("add one button to the Home tab, which opens the pane", () => {
    expect(attributes(all("OfficeTab"), "id")).toEqual(["TabHome"]);
    expect(attributes(all("Control"), "xsi:type")).toEqual(["Button"]);
    expect(resource(manifest.querySelector("Control > Label")?.getAttribute("resid"))).toBe("Swardsheet");
    expect(resource(manifest.querySelector("Action > SourceLocation")?.getAttribute("resid"))).toBe(
      manifest.querySelector("DefaultSettings > SourceLocation")?.getAttribute("DefaultValue"),
    );
  });
});

describe("the resources of the manifest", () => {
  const references = attributes(all("[resid]"), "resid");

  it("are unique, named within 32 characters, all present and all used", () => {
    const ids = resources.map((element) => element.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids.filter((id) => id.length === 0 || id.length > 32)).toEqual([]);
    expect([...new Set(references)].sort()).toEqual([...ids].sort());
  });

  it.each([
    ["Label, Title", "bt:ShortStrings", 125],
    ["Namespace", "bt:ShortStrings", 32],
    ["VersionOverrides Description", "bt:LongStrings", 250],
    ["SourceLocation[resid], LearnMoreUrl", "bt:Urls", 2048],
    ["Icon > *", "bt:Images", 2048],
  ])("that %s refer to come from %s and hold 1 to %i characters", (selector, list, limit) => {
    const used = attributes(all(selector), "resid");
    expect(used.length).toBeGreaterThan(0);
    for (const id of used) {
      expect(resources.find((element) => element.id === id)?.parentElement?.tagName).toBe(list);
      expect(resource(id)?.length).toBeGreaterThan(0);
      expect(resource(id)?.length).toBeLessThanOrEqual(limit);
    }
  });

  it("of the base manifest keep to the length limits too", () => {
    expect(attributes(all("DisplayName"), "DefaultValue")[0]?.length).toBeLessThanOrEqual(125);
    expect(attributes(all("OfficeApp > Description"), "DefaultValue")[0]?.length).toBeLessThanOrEqual(250);
    expect(all("ProviderName")[0]?.textContent.length).toBeLessThanOrEqual(125);
  });
});

/** Where the build takes each served file from. */
function sourceOf(served: string): string {
  if (served.startsWith("icons/")) return `src/pane/${served}`;
  if (served === "pane.html") return "src/pane/pane.html";
  if (served === "functions.js") return "src/functions/main.ts";
  if (served.startsWith("functions.")) return `src/functions/${served}`;
  return `src/pane/pages/${served}`;
}

describe("the addresses in the manifest", () => {
  const addresses = attributes(all("[DefaultValue]"), "DefaultValue").filter((value) =>
    value.includes("://"),
  );

  it("are https addresses of the origin that the build replaces", () => {
    expect(addresses.filter((address) => !address.startsWith(origin))).toEqual([]);
    expect(source.match(/"http:\/\/(?!schemas\.microsoft\.com|www\.w3\.org)/)).toBeNull();
  });

  it("cover the pane, the functions in all three parts, the help page and the icons", () => {
    const served = addresses.map((address) => address.slice(origin.length));
    const expected = ["pane.html", "functions.js", "functions.html", "functions.json", "support.html"];
    expect(served).toEqual(expect.arrayContaining(expected));
  });

  it.each([...new Set(addresses)].map((address) => address.slice(origin.length)))(
    "lead to a file: %s",
    (served) => {
      expect(existsSync(join(root, sourceOf(served)))).toBe(true);
    },
  );

  it("of the help page lead on to the privacy page", () => {
    const support = readFileSync(join(root, "src/pane/pages/support.html"), "utf8");
    expect(support).toContain('href="privacy.html"');
    expect(existsSync(join(root, "src/pane/pages/privacy.html"))).toBe(true);
  });
});

describe("the icons", () => {
  const pixels = (file: string) => {
    const png = readFileSync(join(root, "src/pane/icons", file));
    expect(png.subarray(1, 4).toString("latin1")).toBe("PNG");
    return [png.readUInt32BE(16), png.readUInt32BE(20)];
  };

  it.each(["Group > Icon", "Control > Icon"])(
    "of %s come in every size, each picture of its size",
    (selector) => {
      const images = [...(manifest.querySelector(selector)?.children ?? [])];
      expect(attributes(images, "size")).toEqual(["16", "20", "24", "32", "40", "48", "64", "80"]);
      for (const image of images) {
        const size = image.getAttribute("size") ?? "";
        expect(resource(image.getAttribute("resid"))).toBe(`${origin}icons/icon-${size}.png`);
        expect(pixels(`icon-${size}.png`)).toEqual([Number(size), Number(size)]);
      }
    },
  );

  it("of the add-in itself are 32 and 64 pixels", () => {
    expect(attributes(all("IconUrl, HighResolutionIconUrl"), "DefaultValue")).toEqual([
      `${origin}icons/icon-32.png`,
      `${origin}icons/icon-64.png`,
    ]);
  });
});

describe("the manifest that the build writes", () => {
  const built = source.replaceAll("{version}", version).replaceAll(origin, "https://example.org/sward/");

  it("leaves no mark behind", () => {
    expect(built).not.toMatch(/[{}]/);
    expect(built).not.toContain("localhost");
  });

  it("is read by Microsoft's own reader, with a version of four numbers", async () => {
    const folder = mkdtempSync(join(tmpdir(), "swardsheet-manifest-"));
    try {
      writeFileSync(join(folder, "manifest.xml"), built);
      const read = await OfficeAddinManifest.readManifestFile(join(folder, "manifest.xml"));
      expect(read).toMatchObject({
        id: manifest.querySelector("Id")?.textContent,
        displayName: "Swardsheet",
        officeAppType: "TaskPaneApp",
        hosts: ["Workbook"],
        permissions: "ReadWriteDocument",
        supportUrl: "https://example.org/sward/support.html",
        defaultSettings: { sourceLocation: "https://example.org/sward/pane.html" },
      });
      expect(read.version).toMatch(/^\d{1,5}(\.\d{1,5}){3}$/);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

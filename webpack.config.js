import { readFileSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import CopyPlugin from "copy-webpack-plugin";
import MinimizerPlugin from "minimizer-webpack-plugin";
import webpack from "webpack";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const { version } = JSON.parse(readFileSync(at("package.json"), "utf8"));

/** What is built; all of it but `workbench` is published. A second build may go elsewhere, to be compared. */
const built = at(process.env.SWARDSHEET_DIST ?? "dist");

/** Where the built files will be served from; the manifest names it in every address. */
const origin = (process.env.SWARDSHEET_ORIGIN ?? "https://localhost:3000").replace(/\/$/, "");

/** The hosted library is the only supported one in production; the workbench serves its own pinned copy. */
const libraryHost = "https://appsforoffice.microsoft.com";
const hostedLibrary = `${libraryHost}/lib/1/hosted`;

/**
 * What a page may load and do, said in the page itself, since we do not configure the server it is published on.
 * Nothing is allowed but what is named: no script or style within the page, no other address, no form, no frame.
 */
const policy = (allowed) =>
  Object.entries({ "default-src": "'none'", "base-uri": "'none'", "form-action": "'none'", ...allowed })
    .map(([what, from]) => `${what} ${from}`)
    .join("; ");

const pagePolicy = policy({ "style-src": "'self'", "img-src": "'self'" });
const functionsPolicy = (library) =>
  policy({ "script-src": `'self' ${library}`.trim(), "connect-src": "'self'" });
/** A drawing becomes a picture by way of a data address. */
const panePolicy = (library) =>
  policy({
    "script-src": `'self' ${library}`.trim(),
    "style-src": `'self' ${library}`.trim(),
    "img-src": "'self' data:",
    "connect-src": "'self'",
  });
/**
 * The stand-in for Excel is not published. The spreadsheet in it makes functions of its templates and styles within
 * the page, so both have to be allowed there.
 */
const workbenchPolicy = policy({
  "script-src": "'self' 'unsafe-eval'",
  "style-src": "'self' 'unsafe-inline'",
  "img-src": "'self' data: blob:",
  "font-src": "'self' data:",
  "connect-src": "'self'",
  "frame-src": "'self'",
});

const fill = (values) => (content) =>
  Object.entries(values).reduce((text, [mark, value]) => text.replaceAll(mark, value), content.toString());

/** Names by content change with it: what an earlier build left there would be published too. */
const emptied = {
  apply: ({ hooks }) => hooks.run.tap("Emptied", () => rmSync(built, { recursive: true, force: true })),
};

/** Puts the name of a bundle, which its content decides, into the pages that load it. */
const namedInPages = (bundleName) => ({
  apply: ({ hooks }) =>
    hooks.thisCompilation.tap("NamedInPages", (compilation) => {
      const { Compilation, sources } = webpack;
      const stage = Compilation.PROCESS_ASSETS_STAGE_REPORT;
      compilation.hooks.processAssets.tap({ name: "NamedInPages", stage }, (assets) => {
        const [file] = compilation.entrypoints.get(bundleName).getFiles();
        for (const page of Object.keys(assets).filter((name) => name.endsWith(".html"))) {
          const text = fill({ [`{${bundleName}}`]: file })(assets[page].source());
          compilation.updateAsset(page, new sources.RawSource(text));
        }
      });
    }),
});

const bundle = (name, entry, { language = "es2020", output, plugins = [], ...more } = {}) => ({
  name,
  target: ["web", language],
  mode: "production",
  devtool: false,
  entry: { [name]: entry },
  output: { path: built, filename: "[name].js", ...output },
  resolve: { extensions: [".ts", ".js"] },
  module: {
    rules: [
      {
        test: /\.ts$/,
        loader: "ts-loader",
        options: { transpileOnly: true, compilerOptions: { target: language } },
        exclude: /node_modules/,
      },
      // Nothing there happens by being loaded, so that of a folder's face only what is used comes along.
      { test: /src[\\/](engine|workbook)[\\/]/, sideEffects: false },
      { test: /\.css$/, type: "asset/source" },
    ],
  },
  optimization: {
    // The notices are in a page of their own, and beside each bundle's code as far as its authors put them there.
    minimizer: [
      new MinimizerPlugin({ extractComments: false, minimizerOptions: { compress: { passes: 2 } } }),
    ],
  },
  performance: { hints: false },
  plugins: [
    ...plugins,
    // Apart from what is published, and not named in it; the server of the workbench tells a browser where they are.
    new webpack.SourceMapDevToolPlugin({ filename: "workbench/maps/[file].map", append: false }),
  ],
  ...more,
});

const page = (from, to, values) => ({ from, to, transform: fill(values) });

export default [
  bundle("functions", "./src/functions/main.ts", {
    // Some hosts run the functions in an engine without a browser, at this level of the language.
    language: "es2015",
    plugins: [
      emptied,
      new CopyPlugin({
        patterns: [
          { from: "src/functions/functions.json", to: "functions.json" },
          page("src/functions/functions.html", "functions.html", {
            "{library}": hostedLibrary,
            "{policy}": functionsPolicy(libraryHost),
          }),
          page("manifest.xml", "manifest.xml", { "https://localhost:3000": origin, "{version}": version }),
        ],
      }),
    ],
  }),
  bundle("pane", "./src/pane/start.ts", {
    output: { filename: "parts/[name]-[contenthash].js", chunkFilename: "parts/[contenthash].js" },
    plugins: [
      new CopyPlugin({
        patterns: [
          page("src/pane/pane.html", "pane.html", {
            "{library}": hostedLibrary,
            "{policy}": panePolicy(libraryHost),
          }),
          page("src/pane/pane.html", "workbench/pane.html", {
            "{library}": "/office",
            "{policy}": panePolicy(""),
            '<script defer src="{pane}"></script>':
              '<script defer src="/{pane}"></script><script defer src="/workbench/sample.js"></script>',
          }),
          page("src/pane/pages/*.html", "[name][ext]", { "{policy}": pagePolicy }),
          { from: "src/pane/pages/*.css", to: "[name][ext]" },
          { from: "src/pane/icons/*.png", to: "icons/[name][ext]" },
        ],
      }),
      namedInPages("pane"),
    ],
  }),
  bundle("sample", "./src/pane/sample.ts", { output: { filename: "workbench/[name].js" } }),
  bundle("workbench", "./src/workbench/page.ts", {
    output: { filename: "workbench/[name].js" },
    plugins: [
      new CopyPlugin({
        patterns: [page("src/workbench/index.html", "workbench/index.html", { "{policy}": workbenchPolicy })],
      }),
    ],
  }),
];

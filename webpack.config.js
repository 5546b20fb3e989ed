import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import CopyPlugin from "copy-webpack-plugin";

const at = (path) => fileURLToPath(new URL(path, import.meta.url));
const { version } = JSON.parse(readFileSync(at("package.json"), "utf8"));

/** Where the built files will be served from; the manifest names it in every address. */
const origin = (process.env.SWARDSHEET_ORIGIN ?? "https://localhost:3000").replace(/\/$/, "");

/** The hosted library is the only supported one in production; the workbench serves its own pinned copy. */
const hostedLibrary = "https://appsforoffice.microsoft.com/lib/1/hosted";
const fill = (values) => (content) =>
  Object.entries(values).reduce((text, [mark, value]) => text.replaceAll(mark, value), content.toString());

const bundle = (name, entry, { language = "es2020", ...more } = {}) => ({
  name,
  target: ["web", language],
  mode: "production",
  devtool: "source-map",
  entry: { [name]: entry },
  output: { path: at("dist"), filename: "[name].js" },
  resolve: { extensions: [".ts", ".js"] },
  module: {
    rules: [
      {
        test: /\.ts$/,
        loader: "ts-loader",
        options: { transpileOnly: true, compilerOptions: { target: language } },
        exclude: /node_modules/,
      },
      { test: /\.css$/, type: "asset/source" },
    ],
  },
  performance: { hints: false },
  ...more,
});

const page = (from, to, values) => ({ from, to, transform: fill(values) });

export default [
  bundle("functions", "./src/functions/main.ts", {
    // Some hosts run the functions in an engine without a browser, at this level of the language.
    language: "es2015",
    plugins: [
      new CopyPlugin({
        patterns: [
          { from: "src/functions/functions.json", to: "functions.json" },
          page("src/functions/functions.html", "functions.html", { "{library}": hostedLibrary }),
          page("manifest.xml", "manifest.xml", { "https://localhost:3000": origin, "{version}": version }),
        ],
      }),
    ],
  }),
  bundle("pane", "./src/pane/start.ts", {
    plugins: [
      new CopyPlugin({
        patterns: [
          page("src/pane/pane.html", "pane.html", { "{library}": hostedLibrary }),
          page("src/pane/pane.html", "workbench/pane.html", {
            "{library}": "/office",
            '<script defer src="pane.js"></script>':
              '<script defer src="/pane.js"></script><script defer src="/workbench/sample.js"></script>',
          }),
          { from: "src/pane/pages", to: "." },
          { from: "src/pane/icons/*.png", to: "icons/[name][ext]" },
        ],
      }),
    ],
  }),
  bundle("sample", "./src/pane/sample.ts", { output: { path: at("dist/workbench"), filename: "[name].js" } }),
  bundle("workbench", "./src/workbench/page.ts", {
    output: { path: at("dist/workbench"), filename: "[name].js" },
    plugins: [new CopyPlugin({ patterns: [{ from: "src/workbench/index.html", to: "index.html" }] })],
  }),
];

/** Starts the pane in its host, and says what to do where there is none. */
import { render } from "lit-html";
import "./components";
import styles from "./pane.css";
import { openPane } from "./pane";
import { message } from "./parts/message";
import { followTheme } from "./theme";

const page = document.getElementById("pane") ?? document.body;
const sheet = new CSSStyleSheet();
sheet.replaceSync(styles);
document.adoptedStyleSheets.push(sheet);

const outside =
  "This page belongs beside a workbook: open Excel, then press the Swardsheet button on the Home tab.";

function sayOutside(): void {
  followTheme(undefined);
  render(message("warning", outside), page);
}

if (typeof Office === "undefined") sayOutside();
else {
  void Office.onReady(({ host }) => {
    if (host !== Office.HostType.Excel) return sayOutside();
    const { officeTheme } = Office.context as { officeTheme?: Office.OfficeTheme };
    followTheme(officeTheme?.isDarkTheme);
    openPane(page);
  });
}

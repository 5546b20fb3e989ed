/** What a hand-over did, in words, with each cell that a person should look at. */
import { html, nothing } from "lit-html";
import type {
  BringBackReport,
  CellEdit,
  ChangeKind,
  Delivered,
  EditsSince,
  FileCopy,
  FileToSave,
  HandOverReport,
  ReaderFile,
  ValuesBeside,
} from "../../../workbook/handover";
import type { CellNote } from "../../../workbook/host";
import { message } from "../../parts/message";
import { notesView } from "../../parts/report";
import { counted } from "../../words";

export type Ended =
  | { readonly copied: Delivered<FileCopy> }
  | { readonly forReader: Delivered<ReaderFile>; readonly name: string }
  | { readonly beside: ValuesBeside }
  | { readonly handedOver: HandOverReport }
  | { readonly broughtBack: BringBackReport }
  | { readonly edits: EditsSince }
  | { readonly repaired: readonly CellNote[] }
  | { readonly stopped: string }
  | { readonly missing: string }
  | { readonly trouble: string };

const changes: Record<ChangeKind, string> = {
  input: "A figure was changed",
  formula: "A formula was changed",
  "formula overwritten": "A formula was overwritten by a figure",
  emptied: "Emptied",
  "row or sheet deleted": "Deleted with its row, column or sheet",
};

const editNote = ({ sheet, address, kind, old, now }: CellEdit): CellNote => ({
  sheet,
  address,
  formula: `${old === "" ? "nothing" : old} → ${now === "" ? "nothing" : now}`,
  note: `${changes[kind]}.`,
});

export function endedView(ended: Ended) {
  if ("trouble" in ended) return message("error", ended.trouble);
  if ("missing" in ended) return message("warning", ended.missing);
  if ("stopped" in ended) return message("info", ended.stopped);
  if ("edits" in ended) return editsView(ended.edits);
  if ("repaired" in ended) return repairedView(ended.repaired);
  if ("copied" in ended) return copiedView(ended.copied);
  if ("forReader" in ended) return readerView(ended.forReader, ended.name);
  if ("beside" in ended) return besideView(ended.beside);
  return "handedOver" in ended ? handedOverView(ended.handedOver) : broughtBackView(ended.broughtBack);
}

const editsView = ({ edits, missing }: EditsSince) =>
  edits.length === 0
    ? message(
        missing === undefined ? "success" : "warning",
        missing ?? "Nothing was changed since the hand-over.",
      )
    : html`
        ${message("info", `${counted(edits.length, "cell")} changed since the hand-over. ${missing ?? ""}`)}
        ${notesView("Changed since", edits.map(editNote), "contents")}
      `;

const repairedView = (repaired: readonly CellNote[]) =>
  repaired.length === 0
    ? message("success", "No cell of ours shows #NAME?: nothing to enter again.")
    : html`
        ${message("success", `${counted(repaired.length, "cell")} entered again.`)}
        ${notesView("Entered again", repaired, "contents")}
      `;

/** The host's own way to put a file of a page's on the disk. */
function save({ bytes, extension }: FileToSave, name: string): void {
  const address = URL.createObjectURL(new Blob([new Uint8Array(bytes)]));
  const link = document.createElement("a");
  link.href = address;
  link.download = `${name}.${extension}`;
  link.click();
  // The file is fetched after the click has been dealt with.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

const toSaveView = (toSave: FileToSave | undefined, name: string) =>
  toSave === undefined
    ? nothing
    : html`
        ${message("warning", toSave.why)}
        <fluent-button id="save-file" appearance="primary" @click=${() => save(toSave, name)}>
          Save the file
        </fluent-button>
      `;

const madeText = (toSave: FileToSave | undefined): string =>
  toSave === undefined ? "open beside this workbook" : "made and waits to be saved";

const readerView = (
  { file: { sheets, cells, formulas, pictures, drawingsLeft }, toSave }: Delivered<ReaderFile>,
  name: string,
) => html`
  ${message(
    "success",
    html`
      The file is ${madeText(toSave)}: ${sheets.join(", ")}, ${counted(cells, "filled cell")},
      ${formulas === 0 ? "no formula" : counted(formulas, "formula")},
      ${pictures === 0 ? "no picture" : counted(pictures, "picture")}. This workbook is as it was.
      ${
        drawingsLeft === 0
          ? nothing
          : html`${counted(drawingsLeft, "drawing")} that could tell more than they show were left out:
            charts, shapes, pictures that are hidden or cut.`
      }
    `,
  )}
  ${toSaveView(toSave, name)}
`;

const besideView = ({ sheets, cells }: ValuesBeside) =>
  message(
    "success",
    html`Added: <b>${sheets.join(", ")}</b>, with the values of ${counted(cells, "formula")}. The sheets they
      were taken from are as they were.`,
  );

const outsideView = (left: readonly CellNote[], bare: readonly CellNote[]) => html`
  ${notesView("Left as they were", left, "contents")} ${notesView("Not to be brought back", bare, "contents")}
`;

const copiedView = ({ file, toSave }: Delivered<FileCopy>) => html`
  ${copyMessage(file, toSave)} ${toSaveView(toSave, "Handed over")}
  ${notesView("Stopped the sheet", file.stopped)} ${notesView("Became values", file.asValues)}
  ${notesView("No longer checked", file.unchecked)} ${outsideView(file.left, file.bare)}
`;

const limitsText = (limits: number): string =>
  limits === 0 ? "" : `, ${counted(limits, "group")} of input cells given limits`;

const rulesText = (rules: number): string =>
  `${counted(rules, "rule")} of conditional formats and data validations`;
const elsewhereText = (formulas: number): string =>
  `${counted(formulas, "formula")} of names, conditional formats, data validations and charts`;

/** What was converted, without what there was none of. */
const convertedText = (
  cells: number,
  ...others: readonly (readonly [number, (count: number) => string])[]
): string => {
  const some = others.flatMap(([count, text]) => (count === 0 ? [] : [text(count)]));
  return (cells === 0 && some.length > 0 ? some : [counted(cells, "cell"), ...some]).join(" and ");
};

const copyMessage = (
  { converted, convertedElsewhere, limits, stopped, list }: Delivered<FileCopy>["file"],
  toSave: FileToSave | undefined,
) =>
  message(
    stopped.length === 0 ? "success" : "warning",
    html`
      A copy is ${madeText(toSave)}: ${convertedText(converted, [convertedElsewhere, elsewhereText])}
      converted in it${limitsText(limits)}. ${list === undefined ? nothing : listView({ sheet: list })} This
      workbook is as it was.
      ${
        stopped.length === 0
          ? nothing
          : html`Sheets with a cell that cannot be converted are in the copy as they were: see below.`
      }
    `,
  );

const handedOverView = ({
  converted,
  asValues,
  limits,
  unchecked,
  stopped,
  putBack,
  meanwhile,
  left,
  bare,
  list,
  rules,
  names,
}: HandOverReport) => html`
  ${message(
    stopped.length + putBack.length + meanwhile.length === 0 ? "success" : "warning",
    html`
      ${convertedText(converted, [rules, rulesText], [names, (count) => counted(count, "name")])}
      converted${limitsText(limits)}. ${list === undefined ? nothing : listView(list)}
      ${
        stopped.length === 0
          ? nothing
          : html`Sheets with a cell that cannot be converted were left as they were: see below.`
      }
      ${
        list === undefined
          ? nothing
          : "To go back, use “Bring the functions back”: undo takes back only the last part of the work."
      }
    `,
  )}
  ${notesView("Stopped the sheet", stopped)} ${notesView("Have their function still", putBack)}
  ${notesView("Somebody wrote there meanwhile", meanwhile)} ${notesView("Became values", asValues)}
  ${notesView("No longer checked", unchecked)} ${outsideView(left, bare)}
`;

const listView = (list: NonNullable<HandOverReport["list"]>) =>
  "sheet" in list
    ? html`What was typed is listed on the sheet <b>${list.sheet}</b>, which anyone may delete.`
    : html`What was typed could not be listed: ${list.why}`;

const broughtBackView = ({
  restored,
  changed,
  foreign,
  notes,
  names = [],
  rules = [],
}: BringBackReport) => html`
  ${message(
    changed.length + foreign.length + notes.length === 0 ? "success" : "warning",
    html`
      ${counted(restored, "cell")} ${restored === 1 ? "has its" : "have their"} function back.
      ${names.length === 0 ? nothing : html`So have the names ${names.join(", ")}.`}
      ${rules.length === 0 ? nothing : html`So have the ${rules.join(", ")}.`}
      ${changed.length === 0 ? nothing : "Cells that were edited since were left as they are: see below."}
      ${notes.join(" ")}
    `,
  )}
  ${notesView("Edited since", changed)} ${notesView("Left as they are", foreign)}
`;

/**
 * What leaves for one reader, searched byte by byte: on jobs of different kinds, whatever stands only on what stays behind
 * - every figure, every text, the names of sheets, comments, names, limits, rules, properties - is in no part of the file,
 * as it was made and as another program saves it again.
 */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Workbench } from "../../../src/workbench/node";
import type { JobInput } from "../../../src/workbook/bid/job";
import { sampleProperty } from "../../../src/workbook/bid/sample-property";
import { writeBid } from "../../../src/workbook/bid/write-bid";
import { readerFile } from "../../../src/workbook/handover/reader/reader-file";
import { pagesFor, readerSheets, sheetsFor } from "../../../src/workbook/handover/readers";
import type { ReaderId, ReaderWay } from "../../../src/workbook/handover/ways";
import { readerIds, ways } from "../../../src/workbook/handover/ways";
import { openWorkbench, unwatched } from "../../support/built-workbench";
import { textsOf, withBytes, withEdited, withParts } from "../../support/file-parts";
import { jobs } from "../../support/jobs";
import { edited, plainWorkbook, recalculate } from "../../support/libreoffice";
import { metricWorkbook, usWorkbook } from "../../support/other-workbooks";
import { everythingIn, png } from "./hiding-places";

let bench: Workbench;
/** How much was searched in all. */
const total = { files: 0, bytes: 0 };
/** The words of which a file consists that holds nothing. */
let vocabulary: string;
beforeAll(async () => {
  bench = await openWorkbench();
  const empty = await edited(plainWorkbook([{ sheet: "One", address: "A1", content: 1 }]), []);
  const { bytes } = await readerFile(
    empty,
    { pages: [{ sheet: "One" }], holds: "values", drawings: [] },
    unwatched,
  );
  vocabulary = [empty, bytes].flatMap((file) => [...everythingIn(file)].map(([, text]) => text)).join("\n");
});

afterAll(() => {
  console.log(`${total.files} files searched, ${total.bytes} bytes of their parts`);
});

/** What is put into every job where nobody who gets a file may see it. */
const planted = {
  ledger: "Kwartalsheft",
  hiddenSheet: "Zwickmühle",
  wage: "38.1731",
  cost: "4137.9157",
  margin: "0.41276",
  zone: "Hinterm Schuppen",
  lot: "Lot Quenterbaum",
  comment: "haggle down to nineteen",
  name: "quenter_wage",
  list: "quentlist",
  author: "Yolanda Quentsworth",
  company: "Quentsworth and Daughters",
  custom: "quent-custom-xml",
  thumbnail: "quent-thumbnail",
  header: "quent-header",
  rule: "quent-rule",
  title: "quent_titles",
  outside: "quent-outside",
  photo: "quent-photo-name",
  photoText: "quent-photo-text",
  photoTitle: "quent-photo-title",
  photoLink: "quent-photo-link",
  tooltip: "quent-tooltip",
  chart: "quent-chart-title",
  series: "quent-series",
  view: "quent-view",
  viewFooter: "quent-view-footer",
  firstFooter: "quent-first-footer",
  evenFooter: "quent-even-footer",
  ledgerFooter: "quent-ledger-footer",
  refusal: "quent-refusal",
  refusalTitle: "quent-refusal-title",
  keywords: "quent-keywords",
  property: "quent-property",
  nameComment: "quent-comment-of-name",
  scenario: "quent-scenario",
  link: "quent-hyperlink",
  codeName: "quent_code_name",
  watched: "quent-custom-of-sheet",
  style: "quent-cell-style",
  person: "quent-person",
  thread: "quent-thread",
  /** The cost as money is written. */
  money: "$4,137.92",
  plainMoney: "4137.92",
} as const;

type HandedFile = readonly [
  reader: ReaderId,
  sheets: readonly string[] | undefined,
  holds: "values" | "formulas" | "values with their working",
];

/** A job, and sheets of it that its owner hands to somebody. */
interface Case {
  readonly name: string;
  readonly write: () => Promise<void>;
  readonly files: readonly HandedFile[];
  /** The sheet on which things are hidden. */
  readonly page: string;
}

/** Every reader who gets sheets of a bid, with all that such a file may hold. */
const toReaders = readerIds.flatMap((reader): readonly HandedFile[] => {
  const { sheets, mayHoldFormulas, mayHoldWorking }: ReaderWay = ways[reader];
  if (Object.keys(sheets).length === 0) return [];
  return [
    [reader, undefined, "values"],
    ...(mayHoldFormulas ? [[reader, undefined, "formulas"] as const] : []),
    ...(mayHoldWorking ? [[reader, undefined, "values with their working"] as const] : []),
  ];
});

const toEach: readonly HandedFile[] = [
  ...toReaders,
  ["own", ["Watering"], "formulas"],
  ["own", ["Quantities", "Crew"], "values with their working"],
];

/** The sample with prices that nothing else of it happens to equal. */
const withTellingPrices = (job: JobInput): JobInput => ({
  ...job,
  seedLots: job.seedLots.map((one, i) => ({
    ...one,
    packs: one.packs.map(({ size }, n) => ({ size, price: 61.83 + 17.29 * (i + n) })),
  })),
  work: { ...job.work, hourly: 38.17, overhead: 0.1319, margin: 0.4127 },
});

const sample = (system: "us" | "metric") => async (): Promise<void> => {
  const job = withTellingPrices(sampleProperty[system]);
  await writeBid({ system, currency: "$", property: "Larkfield House", sample: true, job }, unwatched);
};
const cases: readonly Case[] = [
  { name: "the sample in US units", write: sample("us"), files: toEach, page: "Bid" },
  { name: "the sample in metric units", write: sample("metric"), files: toEach, page: "Crew" },
  ...jobs
    .filter(({ name }) => name === "an empty bid, typed later")
    .map(({ name, write }): Case => ({ name, write: () => write(bench), files: toEach, page: "Bid" })),
  ...jobs
    .filter(({ isBid }) => !isBid)
    .map(({ name, write }): Case => ({
      name,
      write: () => write(bench),
      files: [
        ["own", ["Lawns"], "values"],
        ["own", ["Lawns"], "formulas"],
      ],
      page: "Lawns",
    })),
  {
    name: "someone's metric workbook",
    write: () => bench.importXlsx(metricWorkbook()),
    files: [
      ["own", ["Rasen"], "values"],
      ["own", ["Rasen"], "formulas"],
    ],
    page: "Rasen",
  },
  {
    name: "someone's workbook in US units",
    write: () => bench.importXlsx(usWorkbook()),
    files: [["own", ["Take-off"], "formulas"]],
    page: "Take-off",
  },
];

/** Puts the secrets in, beside the page, on sheets of their own, in names, limits, rules and comments. */
async function plant(page: string): Promise<void> {
  await Excel.run(async (context) => {
    const { worksheets, names, comments } = context.workbook;
    const ledger = worksheets.add(planted.ledger);
    ledger.getRange("A1:C4").values = [
      ["what", "figure", planted.zone],
      ["wage", Number(planted.wage), planted.lot],
      ["cost", Number(planted.cost), ""],
      ["margin", Number(planted.margin), ""],
    ];
    const hidden = worksheets.add(planted.hiddenSheet);
    hidden.getRange("A1:A2").values = [[planted.list], [Number(planted.cost)]];
    hidden.visibility = "VeryHidden";
    names.add(planted.name, ledger.getRange("B2"));
    const sheet = worksheets.getItem(page);
    // Far outside of what is printed, in a hidden row and in a hidden column.
    sheet.getRange("AX3").values = [[Number(planted.cost)]];
    sheet.getRange("AX201:AY201").values = [[planted.zone, Number(planted.wage)]];
    sheet.getRange("201:201").rowHidden = true;
    sheet.getRange("AX:AX").columnHidden = true;
    sheet.getRange("AY4").formulas = [[`=${planted.ledger}!B3*2`]];
    sheet.getRange("AZ4").numberFormat = [[`0.00" ${planted.lot}"`]];
    sheet.getRange("A2").dataValidation.rule = {
      list: { inCellDropDown: true, source: `=${planted.ledger}!$A$1:$A$4` },
    };
    sheet.getRange("B2").dataValidation.rule = { list: { inCellDropDown: true, source: planted.list } };
    sheet.getRange("B2").dataValidation.prompt = {
      showPrompt: true,
      title: planted.lot,
      message: planted.zone,
    };
    comments.add(`'${page}'!A1`, planted.comment);
    await context.sync();
  });
  await bench.calculated();
}

const partOf = (texts: Readonly<Record<string, string>>, sheet: string): string => {
  const id = new RegExp(`<sheet [^>]*name="${sheet}"[^>]*r:id="([^"]*)"`).exec(
    texts["xl/workbook.xml"] ?? "",
  )?.[1];
  const relations = texts["xl/_rels/workbook.xml.rels"] ?? "";
  const relation = [...relations.matchAll(/<Relationship [^>]*>/g)].find(([one]) =>
    one.includes(`Id="${id}"`),
  )?.[0];
  return `xl/${/Target="(?:\/xl\/)?([^"]*)"/.exec(relation ?? "")?.[1] ?? ""}`;
};

/** What is printed with sheets, what rules their looks and what they read of other workbooks. */
function withWhatHangsOn(bytes: Uint8Array, page: string): Uint8Array {
  const texts = textsOf(bytes);
  const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
  const [shown, ledger] = [partOf(texts, page), partOf(texts, planted.ledger)];
  const names = [...(texts["xl/workbook.xml"] ?? "").matchAll(/<sheet [^>]*name="([^"]*)"/g)].map(
    ([, name]) => name,
  );
  const defined =
    `<definedName name="_xlnm.Print_Titles" localSheetId="${names.indexOf(page)}">${planted.ledger}!$1:$2,${planted.title}</definedName>` +
    `<definedName name="_xlnm.Print_Area" localSheetId="${names.indexOf(planted.ledger)}">${planted.ledger}!$A$1:$C$4</definedName>`;
  return withEdited(
    withParts(bytes, {
      "xl/externalLinks/externalLink1.xml": `<externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><externalBook><sheetNames><sheetName val="${planted.outside}"/></sheetNames></externalBook></externalLink>`,
    }),
    {
      "xl/workbook.xml": (xml) =>
        xml.includes("</definedNames>")
          ? xml.replace("</definedNames>", `${defined}</definedNames>`)
          : xml.replace("</sheets>", `</sheets><definedNames>${defined}</definedNames>`),
      "xl/_rels/workbook.xml.rels": (xml) =>
        xml.replace(
          "</Relationships>",
          `<Relationship Id="rq9" Type="${office}/externalLink" Target="externalLinks/externalLink1.xml"/></Relationships>`,
        ),
      "[Content_Types].xml": (xml) =>
        xml.replace(
          "</Types>",
          '<Override PartName="/xl/externalLinks/externalLink1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.externalLink+xml"/></Types>',
        ),
      [shown]: (xml) =>
        xml.replace(
          "</sheetData>",
          `</sheetData><conditionalFormatting sqref="A1:B2"><cfRule type="expression" priority="99"><formula>${planted.ledger}!$B$2&gt;LEN("${planted.rule}")*${planted.wage}</formula></cfRule></conditionalFormatting>`,
        ),
      [ledger]: (xml) =>
        xml.replace(
          "</worksheet>",
          `<headerFooter><oddHeader>&amp;L${planted.header}</oddHeader></headerFooter></worksheet>`,
        ),
    },
  );
}

const drawingNames =
  'xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" xmlns:c="http://schemas.openxmlformats.org/drawingml/2006/chart" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"';
const onCell = (row: number, inside: string): string =>
  `<xdr:oneCellAnchor><xdr:from><xdr:col>0</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${row}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:ext cx="95250" cy="95250"/>${inside}<xdr:clientData/></xdr:oneCellAnchor>`;
const pictureOn = (row: number, name: string, text: string): string =>
  onCell(
    row,
    `<xdr:pic><xdr:nvPicPr><xdr:cNvPr id="${90 + row}" name="${name}" descr="${text}" title="${planted.photoTitle}"><a:hlinkClick r:id="rq2" tooltip="${planted.tooltip}"/></xdr:cNvPr><xdr:cNvPicPr/></xdr:nvPicPr><xdr:blipFill><a:blip r:embed="rq1"/><a:stretch><a:fillRect/></a:stretch></xdr:blipFill><xdr:spPr/></xdr:pic>`,
  );

/** A picture of somebody's, one called like a drawing of ours that tells a cost, and a chart of the ledger. */
const drawing = `<xdr:wsDr ${drawingNames}>${pictureOn(1, planted.photo, `${planted.photoText} ${planted.cost} ${planted.lot}`)}${pictureOn(2, "Swardsheet plan", `${planted.ledger}, cost ${planted.money}`)}${pictureOn(3, "Swardsheet timeline", `a wage of ${planted.wage}`)}${pictureOn(4, "Swardsheet plan", `cost ${planted.plainMoney} in all`)}${onCell(5, `<xdr:graphicFrame><xdr:nvGraphicFramePr><xdr:cNvPr id="99" name="${planted.chart}" descr="${planted.chart}"/></xdr:nvGraphicFramePr><a:graphic><a:graphicData uri="http://schemas.openxmlformats.org/drawingml/2006/chart"><c:chart r:id="rq3"/></a:graphicData></a:graphic></xdr:graphicFrame>`)}</xdr:wsDr>`;

const chart = `<c:chartSpace ${drawingNames}><c:chart><c:title><c:tx><c:rich><a:p><a:r><a:t>${planted.chart}</a:t></a:r></a:p></c:rich></c:tx></c:title><c:plotArea><c:barChart><c:ser><c:tx><c:strRef><c:f>${planted.ledger}!$A$1</c:f><c:strCache><c:pt idx="0"><c:v>${planted.series}</c:v></c:pt></c:strCache></c:strRef></c:tx><c:val><c:numRef><c:f>${planted.ledger}!$B$2:$B$4</c:f><c:numCache><c:pt idx="0"><c:v>${planted.wage}</c:v></c:pt></c:numCache></c:numRef></c:val></c:ser></c:barChart></c:plotArea></c:chart></c:chartSpace>`;

const related = (id: string, type: string, target: string, more = ""): string =>
  `<Relationship Id="${id}" Type="${type.includes(":") ? type : `http://schemas.openxmlformats.org/officeDocument/2006/relationships/${type}`}" Target="${target}"${more}/>`;
const relationsOf = (...all: readonly string[]): string =>
  `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">${all.join("")}</Relationships>`;

/** Puts an element into a sheet's part where the format's order wants it. */
const putBefore = (xml: string, names: readonly string[], element: string): string => {
  const at = names.map((name) => xml.search(new RegExp(`<${name}[ />]`))).filter((place) => place >= 0);
  const place = at.length === 0 ? xml.lastIndexOf("</worksheet>") : Math.min(...at);
  return `${xml.slice(0, place)}${element}${xml.slice(place)}`;
};
const afterLinks = ["printOptions", "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks"];
const atEnd = ["drawing", "legacyDrawing", "tableParts", "extLst"];

/** The page's part with a view, a scenario, a link, messages, footers that do not print, and pictures. */
function hungOnPage(xml: string): string {
  const footers = `<evenFooter>&amp;L${planted.evenFooter}</evenFooter><firstFooter>&amp;L${planted.firstFooter}</firstFooter>`;
  const view = `<customSheetViews><customSheetView guid="{11111111-2222-3333-4444-555555555555}"><headerFooter><oddFooter>${planted.viewFooter}</oddFooter></headerFooter></customSheetView></customSheetViews>`;
  const scenario = `<scenarios><scenario name="${planted.scenario}" comment="${planted.scenario}"><inputCells r="B2" val="${planted.cost}"/></scenario></scenarios>`;
  const links = `<hyperlinks><hyperlink ref="A1" location="${planted.ledger}!B2" display="${planted.link}" tooltip="${planted.tooltip}"/></hyperlinks>`;
  const withFooters = /<headerFooter[^>]*>/.test(xml)
    ? xml.replace("</headerFooter>", `${footers}</headerFooter>`)
    : putBefore(
        xml,
        ["rowBreaks", "colBreaks", "customProperties", ...atEnd],
        `<headerFooter>${footers}</headerFooter>`,
      );
  const withMessages = withFooters.replace(
    /<dataValidation /,
    `<dataValidation errorTitle="${planted.refusalTitle}" error="${planted.refusal}" type="whole" sqref="C9"><formula1>1</formula1><formula2>2</formula2></dataValidation><dataValidation `,
  );
  const withCode = /<sheetPr\b/.test(withMessages)
    ? withMessages.replace("<sheetPr", `<sheetPr codeName="${planted.codeName}"`)
    : withMessages.replace(/<worksheet[^>]*>/, `$&<sheetPr codeName="${planted.codeName}"/>`);
  return [
    [
      [
        "mergeCells",
        "phoneticPr",
        "conditionalFormatting",
        "dataValidations",
        "hyperlinks",
        ...afterLinks,
        ...atEnd,
      ],
      scenario + view,
    ],
    [[...afterLinks, ...atEnd], links],
    [atEnd, '<drawing r:id="rq7"/>'],
  ].reduce((text, [names, element]) => putBefore(text, names as string[], element as string), withCode);
}

/** Pictures with what is told of them, a chart, views, links, properties and notes of many kinds. */
function withWhatIsDrawn(bytes: Uint8Array, page: string): Uint8Array {
  const texts = textsOf(bytes);
  const shown = partOf(texts, page);
  const relations = shown.replace("worksheets/", "worksheets/_rels/").concat(".rels");
  const known = texts[relations];
  const drawn = related("rq7", "drawing", "../drawings/drawingq.xml");
  const thread = related(
    "rq8",
    "http://schemas.microsoft.com/office/2017/10/relationships/threadedComment",
    "../threadedComments/threadedCommentq.xml",
  );
  const types = [
    ["xl/drawings/drawingq.xml", "application/vnd.openxmlformats-officedocument.drawing+xml"],
    ["xl/charts/chartq.xml", "application/vnd.openxmlformats-officedocument.drawingml.chart+xml"],
    ["docProps/custom.xml", "application/vnd.openxmlformats-officedocument.custom-properties+xml"],
    ["xl/threadedComments/threadedCommentq.xml", "application/vnd.ms-excel.threadedcomments+xml"],
    ["xl/persons/personq.xml", "application/vnd.ms-excel.person+xml"],
  ].map(([name, type]) => `<Override PartName="/${name}" ContentType="${type}"/>`);
  const more = withParts(bytes, {
    "xl/drawings/drawingq.xml": drawing,
    "xl/drawings/_rels/drawingq.xml.rels": relationsOf(
      related("rq1", "image", "../media/imageq.png"),
      related("rq2", "hyperlink", `https://example.com/${planted.photoLink}`, ' TargetMode="External"'),
      related("rq3", "chart", "../charts/chartq.xml"),
    ),
    "xl/charts/chartq.xml": chart,
    "xl/threadedComments/threadedCommentq.xml": `<ThreadedComments><threadedComment ref="A1"><text>${planted.thread}</text></threadedComment></ThreadedComments>`,
    "xl/persons/personq.xml": `<personList><person displayName="${planted.person}"/></personList>`,
    "docProps/custom.xml": `<Properties><property name="${planted.property}" pid="2"><lpwstr>${planted.watched} ${planted.cost}</lpwstr></property></Properties>`,
    [relations]:
      known === undefined
        ? relationsOf(drawn, thread)
        : known.replace("</Relationships>", `${drawn}${thread}</Relationships>`),
  });
  const edited = withEdited(more, {
    "[Content_Types].xml": (xml) =>
      xml.replace(
        "</Types>",
        `${types.join("")}${xml.includes('Extension="png"') ? "" : '<Default Extension="png" ContentType="image/png"/>'}</Types>`,
      ),
    "docProps/core.xml": (xml) =>
      xml.replace(
        "</cp:coreProperties>",
        `<dc:title>${planted.keywords}</dc:title><dc:subject>${planted.keywords}</dc:subject><dc:description>${planted.keywords}</dc:description></cp:coreProperties>`,
      ),
    "xl/workbook.xml": (xml) =>
      xml
        .replace(
          "<definedName ",
          `<definedName name="${planted.name}2" comment="${planted.nameComment}">${planted.ledger}!$B$3</definedName><definedName `,
        )
        .replace(
          "</workbook>",
          `<customWorkbookViews><customWorkbookView name="${planted.view}" guid="{11111111-2222-3333-4444-555555555555}" windowWidth="1" windowHeight="1" activeSheetId="1"/></customWorkbookViews></workbook>`,
        ),
    "xl/styles.xml": (xml) =>
      xml.includes("</cellStyles>")
        ? xml.replace("</cellStyles>", `<cellStyle name="${planted.style}" xfId="0"/></cellStyles>`)
        : xml.replace(
            /<dxfs\b|<\/styleSheet>/,
            (at) => `<cellStyles count="1"><cellStyle name="${planted.style}" xfId="0"/></cellStyles>${at}`,
          ),
    [partOf(texts, planted.ledger)]: (xml) =>
      xml.replace("</headerFooter>", `<oddFooter>&amp;R${planted.ledgerFooter}</oddFooter></headerFooter>`),
    [shown]: hungOnPage,
  });
  return withBytes(edited, "xl/media/imageq.png", png);
}

/** What no part of the add-in writes, and every office program does. */
function withProperties(bytes: Uint8Array): Uint8Array {
  const texts = textsOf(bytes);
  const office = "http://schemas.openxmlformats.org";
  const type = (name: string, content: string) => `<Override PartName="/${name}" ContentType="${content}"/>`;
  const relation = (id: string, kind: string, target: string) =>
    `<Relationship Id="${id}" Type="${kind}" Target="${target}"/>`;
  return withParts(bytes, {
    "docProps/core.xml": `<cp:coreProperties xmlns:cp="${office}/package/2006/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator>${planted.author}</dc:creator><cp:lastModifiedBy>${planted.author}</cp:lastModifiedBy></cp:coreProperties>`,
    "docProps/app.xml": `<Properties xmlns="${office}/officeDocument/2006/extended-properties"><Company>${planted.company}</Company><TitlesOfParts>${planted.ledger}</TitlesOfParts></Properties>`,
    "docProps/thumbnail.jpeg": planted.thumbnail,
    "customXml/item1.xml": `<x>${planted.custom}</x>`,
    "[Content_Types].xml": (texts["[Content_Types].xml"] ?? "").replace(
      "</Types>",
      `<Default Extension="jpeg" ContentType="image/jpeg"/>${type("docProps/core.xml", "application/vnd.openxmlformats-package.core-properties+xml")}${type("docProps/app.xml", "application/vnd.openxmlformats-officedocument.extended-properties+xml")}${type("customXml/item1.xml", "application/xml")}</Types>`,
    ),
    "_rels/.rels": (texts["_rels/.rels"] ?? "").replace(
      "</Relationships>",
      `${relation("rq1", `${office}/package/2006/relationships/metadata/core-properties`, "docProps/core.xml")}${relation("rq2", `${office}/officeDocument/2006/relationships/extended-properties`, "docProps/app.xml")}${relation("rq3", `${office}/package/2006/relationships/metadata/thumbnail`, "docProps/thumbnail.jpeg")}</Relationships>`,
    ),
  });
}

interface Held {
  readonly texts: ReadonlySet<string>;
  readonly figures: readonly number[];
}

/** Everything that stands in the cells of some sheets. */
function heldOn(names: readonly string[]): Held {
  const { getters } = bench.model;
  const texts = new Set<string>();
  const figures: number[] = [];
  for (const sheetId of getters.getSheetIds()) {
    if (!names.includes(getters.getSheetName(sheetId))) continue;
    for (const { id } of getters.getCells(sheetId)) {
      const { value } = getters.getEvaluatedCell(getters.getCellPosition(id));
      if (typeof value === "number") figures.push(value);
      else if (typeof value === "string" && value !== "") texts.add(value);
    }
  }
  return { texts, figures };
}

const numbers = /(?<![\w.#-])\d[\d,]*\.\d+(?:E-?\d+)?/gi;
const escaped = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

/** What a file's look is made of, which no cell holds. */
const withoutLook = (xml: string): string =>
  xml
    .replace(/<cols>[^]*?<\/cols>|<(?:sheetFormatPr|pageMargins|sheetView|col)\b[^>]*>/g, "")
    .replace(/\s(?:ht|defaultRowHeight|width|tint)="[^"]*"/g, "");

interface Search {
  readonly bytes: number;
  readonly found: readonly string[];
}

/** A word as short as this may stand in any file. */
const shortest = 6;

function searched(bytes: Uint8Array, secret: Held, shown: Held, leftOut: readonly string[]): Search {
  const told = [...shown.texts].join("\n");
  const words = [...secret.texts, ...leftOut, ...Object.values(planted)].filter(
    (word) =>
      word.length >= shortest &&
      !told.includes(word) &&
      !vocabulary.includes(word) &&
      !/^-?[\d.,]+$/.test(word),
  );
  const said = [...told.matchAll(numbers)].map(([number]) => Number(number.replaceAll(",", "")));
  const onPages = new Set(
    [...shown.figures, ...said].flatMap((one) => [one.toFixed(2), (one * 100).toFixed(2)]),
  );
  // What was planted stands on the page as well, where nobody sees it.
  const figures = new Map(
    [
      ...secret.figures.filter((one) => !onPages.has(one.toFixed(2))),
      ...[planted.wage, planted.cost, planted.margin, planted.plainMoney].map(Number),
    ]
      .filter((one) => !Number.isInteger(one) && !Number.isInteger(one * 10))
      .map((one) => [Math.abs(one).toFixed(4), one]),
  );
  const found: string[] = [];
  let size = 0;
  for (const [part, text] of everythingIn(bytes)) {
    size += text.length;
    for (const word of words)
      if (text.includes(word) || text.includes(escaped(word))) found.push(`"${word}" in ${part}`);
    for (const [number] of withoutLook(text).matchAll(numbers)) {
      const secretFigure = figures.get(Number(number.replaceAll(",", "")).toFixed(4));
      if (secretFigure !== undefined) found.push(`${secretFigure} in ${part}`);
    }
    if (/SWARD\.|_xldudf/i.test(text)) found.push(`a function of ours in ${part}`);
  }
  total.files++;
  total.bytes += size;
  return { bytes: size, found };
}

describe.each(cases)("of $name", ({ write, files, page }) => {
  let exported: Uint8Array;
  beforeAll(async () => {
    bench.reset();
    await write();
    await plant(page);
    exported = withWhatIsDrawn(withWhatHangsOn(withProperties(await bench.exportXlsx()), page), page);
  });

  test.each(files)("the file for %s %j, as %s", async (reader, sheets, holds) => {
    const known = await readerSheets();
    const names = sheets ?? sheetsFor(reader, known);
    expect(names.length).toBeGreaterThan(0);
    const { bytes } = await readerFile(
      exported,
      {
        pages: pagesFor(reader, names, known),
        holds: holds === "formulas" ? holds : "values",
        withWorking: holds === "values with their working",
        drawings: ways[reader].drawings,
      },
      unwatched,
    );
    const all = bench.sheetNames();
    const leftOut = all.filter((name) => !names.includes(name));
    expect(leftOut.length).toBeGreaterThan(1);
    const secret = heldOn(reader === "supplier" ? leftOut.filter((name) => name !== "Order") : leftOut);
    const shown = heldOn(names);
    expect(secret.texts.size + secret.figures.length).toBeGreaterThan(8);
    // A sheet's name may be a word of the page.
    const found = searched(bytes, secret, shown, leftOut);
    expect(found.found).toEqual([]);
    if (holds === "values with their working") {
      const working = (await recalculate(bytes)).get("Working") ?? [];
      const told = working.map(([sheet, cell, name]) => [sheet, cell, name]);
      expect(told[0]).toEqual(["Sheet", "Cell", "Function"]);
      // Of the sheets that a reader gets, none need show a working that reads nothing else.
      const ours = told.filter(([, , name]) => typeof name === "string" && /^[A-Z_]+$/.test(name));
      if (sheets !== undefined) expect([told.length > 10, ours.length > 0]).toEqual([true, true]);
    }
    // Another program writes the file anew: once for each job is enough.
    if (reader !== files[0]?.[0] || holds !== files[0][2]) return;
    expect(searched(await edited(bytes, []), secret, shown, leftOut).found).toEqual([]);
  });

  test("the search finds in the workbook itself what it looks for", () => {
    const { found } = searched(exported, heldOn([planted.ledger]), heldOn([]), bench.sheetNames());
    for (const word of Object.values(planted))
      expect(
        found.some((one) => one.includes(/^[\d.]+$/.test(word) ? String(Number(word)) : word)),
        word,
      ).toBe(true);
  });
});

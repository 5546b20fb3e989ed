/** A workbook whose first sheet goes to one reader, with every place known to us where a figure of the others can hide. */
import { deflateSync, strToU8, unzipSync, zipSync } from "fflate";

/** What must never be found: a wage, a margin, a cost, and words that only the sheets left out hold. */
export const secrets = {
  wage: "28.57",
  margin: "0.3731",
  cost: "4137.91",
  word: "BURIED",
  sheet: "Ledger",
} as const;

const told = `${secrets.word} ${secrets.wage} ${secrets.margin} ${secrets.cost}`;
const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packaged = "http://schemas.openxmlformats.org/package/2006";
const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml";
const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';

/** Places on the page itself, each with a piece of its sheet's part. */
const page = `${head}<worksheet xmlns="${main}" xmlns:r="${office}" xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main">
<sheetPr codeName="${secrets.word}"><tabColor rgb="FF1E5B33"/><pageSetUpPr fitToPage="1"/></sheetPr>
<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>
<sheetFormatPr defaultRowHeight="15"/>
<cols><col min="1" max="1" width="30" customWidth="1"/><col min="4" max="4" width="9" hidden="1"/><col min="5" max="5" width="0.01" customWidth="1"/><col min="6" max="6" width="0" customWidth="1"/></cols>
<sheetData>
<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" s="1"><f>Ledger!B2*2</f><v>57.14</v></c><c r="C1"><f>price_of_it</f><v>9000</v></c><c r="D1"><v>${secrets.cost}</v></c><c r="E1"><v>${secrets.cost}</v></c><c r="F1"><v>${secrets.cost}</v></c></row>
<row r="2"><c r="A2" t="inlineStr"><is><t>Lawn of the north side</t></is></c><c r="B2"><v>1200</v></c><c r="C2"><f>B2*3</f><v>3600</v></c><c r="H2"><v>${secrets.cost}</v></c></row>
<row r="3" hidden="1"><c r="A3" t="inlineStr"><is><t>${told}</t></is></c><c r="B3"><v>${secrets.wage}</v></c></row>
<row r="4" ht="0" customHeight="1"><c r="A4"><v>${secrets.cost}</v></c></row>
<row r="5"><c r="A5" s="2"><v>${secrets.cost}</v></c><c r="B5" s="3"><v>${secrets.cost}</v></c><c r="C5" s="4"><v>7</v></c></row>
<row r="6"><c r="A6" t="s"><v>2</v></c><c r="B6"><v>${secrets.cost}</v></c><c r="C6"><f>B2*${secrets.wage}</f><v>34284</v></c></row>
<row r="7"><c r="A7"><f>IF(B2&gt;0,"fine","${told}")</f><v>0</v></c><c r="B7"><f>B3*100</f><v>2857</v></c><c r="C7"><f>INDIRECT("Ledger!B4")*0+5</f><v>5</v></c></row>
<row r="8"><c r="A8"><f>SUM(Ledger:Notes!B2)</f><v>29</v></c><c r="B8"><f>[1]Ledger!B2+1</f><v>29.6</v></c><c r="C8" s="5"><v>8</v></c></row>
<row r="40"><c r="A40" t="inlineStr"><is><t>${told}</t></is></c></row>
</sheetData>
<sheetProtection algorithmName="SHA-512" hashValue="${secrets.word}" sheet="0"/>
<protectedRanges><protectedRange name="${secrets.word}" sqref="A1"/></protectedRanges>
<scenarios><scenario name="${secrets.word}" comment="${told}"><inputCells r="B2" val="${secrets.cost}"/></scenario></scenarios>
<autoFilter ref="A1:C8"><filterColumn colId="0"><customFilters><customFilter operator="greaterThan" val="${secrets.cost}"/></customFilters></filterColumn></autoFilter>
<mergeCells count="1"><mergeCell ref="A6:B6"/></mergeCells>
<conditionalFormatting sqref="B2"><cfRule type="cellIs" dxfId="0" priority="1" operator="greaterThan"><formula>${secrets.cost}</formula></cfRule></conditionalFormatting>
<dataValidations count="2"><dataValidation type="list" sqref="B2" prompt="${told}" error="${told}"><formula1>"${secrets.wage},${secrets.cost}"</formula1></dataValidation><dataValidation type="list" sqref="B3"><formula1>Ledger!$B$2:$B$4</formula1></dataValidation></dataValidations>
<hyperlinks><hyperlink ref="A2" location="Ledger!B2" display="${told}" tooltip="${told}"/><hyperlink ref="B2" r:id="rId9"/></hyperlinks>
<pageMargins left="0.7" right="0.7" top="0.75" bottom="0.75" header="0.3" footer="0.3"/>
<pageSetup orientation="portrait" fitToHeight="0" r:id="rId1"/>
<headerFooter><oddHeader>&amp;LLarkfield House</oddHeader><oddFooter>&amp;P of &amp;N</oddFooter><evenHeader>${told}</evenHeader><firstFooter>${told}</firstFooter></headerFooter>
<customProperties><customPr name="${secrets.word}" r:id="rId2"/></customProperties>
<cellWatches><cellWatch r="B2"/></cellWatches>
<drawing r:id="rId3"/><legacyDrawing r:id="rId4"/><legacyDrawingHF r:id="rId5"/><picture r:id="rId10"/>
<oleObjects><oleObject progId="${secrets.word}" shapeId="1" r:id="rId6"/></oleObjects>
<tableParts count="1"><tablePart r:id="rId7"/></tableParts>
<extLst><ext uri="{05C60535-1F16-4fd2-B633-F4F36F0B64E0}"><x14:sparklineGroups><x14:sparklineGroup><x14:sparklines>Ledger!B2:B4 ${told}</x14:sparklines></x14:sparklineGroup></x14:sparklineGroups></ext></extLst>
</worksheet><!-- ${told} -->`;

const ledger = `${head}<worksheet xmlns="${main}"><sheetData>
<row r="1"><c r="A1" t="s"><v>1</v></c></row>
<row r="2"><c r="A2" t="inlineStr"><is><t>wage</t></is></c><c r="B2"><v>${secrets.wage}</v></c></row>
<row r="3"><c r="A3" t="inlineStr"><is><t>margin</t></is></c><c r="B3"><v>${secrets.margin}</v></c></row>
<row r="4"><c r="A4" t="inlineStr"><is><t>cost</t></is></c><c r="B4"><v>${secrets.cost}</v></c></row>
</sheetData></worksheet>`;

const styles = `${head}<styleSheet xmlns="${main}"><numFmts count="4"><numFmt numFmtId="170" formatCode="0.00;&quot;${told}&quot;"/><numFmt numFmtId="171" formatCode=";;;"/><numFmt numFmtId="172" formatCode="[&gt;${secrets.cost}]0.0;0"/><numFmt numFmtId="173" formatCode="&quot;wage ${secrets.wage}&quot;0"/></numFmts>
<fonts count="3"><font><sz val="10"/><name val="Arial"/></font><font><sz val="10"/><color rgb="FFFFFFFF"/><name val="Arial"/></font><font><sz val="10"/><name val="${told}"/></font></fonts>
<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>
<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>
<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>
<cellXfs count="7"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="170" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="171" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0"/><xf numFmtId="172" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="0" fontId="2" fillId="0" borderId="0" xfId="0"/><xf numFmtId="173" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>
<cellStyles count="2"><cellStyle name="Normal" xfId="0" builtinId="0"/><cellStyle name="${told}" xfId="0"/></cellStyles>
<dxfs count="1"><dxf><numFmt numFmtId="190" formatCode="&quot;${told}&quot;"/></dxf></dxfs>
<tableStyles count="1"><tableStyle name="${told}" count="0"/></tableStyles><colors><mruColors><color rgb="FF123456"/></mruColors></colors></styleSheet>`;

/** Big-endian length, type, data and a sum that no reader of ours looks at. */
const chunk = (type: string, data: Uint8Array): number[] => {
  const { length } = data;
  return [
    length >>> 24,
    (length >>> 16) & 255,
    (length >>> 8) & 255,
    length & 255,
    ...strToU8(type),
    ...data,
    0,
    0,
    0,
    0,
  ];
};

/** A picture of one point that also holds words, in a chunk and behind its end. */
export const png = Uint8Array.from([
  ...[0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  ...chunk("IHDR", Uint8Array.from([0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0])),
  ...chunk("tEXt", strToU8(`Comment\0${told}`)),
  ...chunk("IDAT", deflateSync(Uint8Array.from([0, 0]))),
  ...chunk("IEND", new Uint8Array()),
  ...strToU8(told),
]);

const anchor = (name: string, id: number, column: number, row: number, more = "", hidden = "") =>
  `<xdr:twoCellAnchor><xdr:from><xdr:col>${column}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${row}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:to><xdr:col>${column + 1}</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>${row + 1}</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to><xdr:pic><xdr:nvPicPr><xdr:cNvPr id="${id}" name="${name}" descr="${told}" title="${told}"${hidden}><a:hlinkClick r:id="rId4" tooltip="${told}"/></xdr:cNvPr><xdr:cNvPicPr/></xdr:nvPicPr><xdr:blipFill><a:blip r:embed="rId1"><a:extLst><a:ext uri="{x}">${told}</a:ext></a:extLst></a:blip>${more}<a:stretch><a:fillRect/></a:stretch></xdr:blipFill><xdr:spPr><a:xfrm><a:off x="0" y="0"/><a:ext cx="9525" cy="9525"/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom></xdr:spPr></xdr:pic><xdr:clientData/></xdr:twoCellAnchor>`;

const drawing = `${head}<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" xmlns:r="${office}">${anchor("Yard", 2, 0, 1)}${anchor(told, 3, 1, 1)}${anchor("Cropped", 4, 0, 5, '<a:srcRect r="50000"/>')}${anchor("Hidden", 5, 0, 5, "", ' hidden="1"')}${anchor("Outside", 6, 7, 1)}<xdr:twoCellAnchor><xdr:from><xdr:col>0</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>1</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:to><xdr:col>2</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>3</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to><xdr:graphicFrame><xdr:nvGraphicFramePr><xdr:cNvPr id="9" name="Chart" descr="${told}"/><xdr:cNvGraphicFramePr/></xdr:nvGraphicFramePr><a:graphic><a:graphicData uri="http://schemas.openxmlformats.org/drawingml/2006/chart"><c:chart xmlns:c="http://schemas.openxmlformats.org/drawingml/2006/chart" r:id="rId2"/></a:graphicData></a:graphic></xdr:graphicFrame><xdr:clientData/></xdr:twoCellAnchor><xdr:twoCellAnchor><xdr:from><xdr:col>0</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>1</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:to><xdr:col>2</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>3</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to><xdr:sp textlink="Ledger!$B$4"><xdr:nvSpPr><xdr:cNvPr id="10" name="Box"/><xdr:cNvSpPr/></xdr:nvSpPr><xdr:spPr/><xdr:txBody><a:bodyPr/><a:p><a:r><a:t>${told}</a:t></a:r></a:p></xdr:txBody></xdr:sp><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>`;

const relations = (list: readonly (readonly [id: string, type: string, target: string])[]) =>
  `${head}<Relationships xmlns="${packaged}/relationships">${list
    .map(
      ([id, type, target]) =>
        `<Relationship Id="${id}" Type="${type.includes(":") ? type : `${office}/${type}`}" Target="${target}"${target.startsWith("http") ? ' TargetMode="External"' : ""}/>`,
    )
    .join("")}</Relationships>`;

/** Parts that hold nothing but what must not be found, with their types. */
const buried: Readonly<Record<string, string>> = {
  "docProps/core.xml": "application/vnd.openxmlformats-package.core-properties+xml",
  "docProps/app.xml": "application/vnd.openxmlformats-officedocument.extended-properties+xml",
  "docProps/custom.xml": "application/vnd.openxmlformats-officedocument.custom-properties+xml",
  "docProps/thumbnail.jpeg": "image/jpeg",
  "customXml/item1.xml": "application/xml",
  "xl/calcChain.xml": `${spreadsheet}.calcChain+xml`,
  "xl/metadata.xml": `${spreadsheet}.sheetMetadata+xml`,
  "xl/connections.xml": `${spreadsheet}.connections+xml`,
  "xl/queryTables/queryTable1.xml": `${spreadsheet}.queryTable+xml`,
  "xl/externalLinks/externalLink1.xml": `${spreadsheet}.externalLink+xml`,
  "xl/pivotCache/pivotCacheDefinition1.xml": `${spreadsheet}.pivotCacheDefinition+xml`,
  "xl/pivotCache/pivotCacheRecords1.xml": `${spreadsheet}.pivotCacheRecords+xml`,
  "xl/pivotTables/pivotTable1.xml": `${spreadsheet}.pivotTable+xml`,
  "xl/comments1.xml": `${spreadsheet}.comments+xml`,
  "xl/threadedComments/threadedComment1.xml": "application/vnd.ms-excel.threadedcomments+xml",
  "xl/persons/person.xml": "application/vnd.ms-excel.person+xml",
  "xl/revisions/revisionLog1.xml": `${spreadsheet}.revisionLog+xml`,
  "xl/charts/chart1.xml": "application/vnd.openxmlformats-officedocument.drawingml.chart+xml",
  "xl/embeddings/book.xlsx": `${spreadsheet}.sheet`,
  "xl/printerSettings/printerSettings1.bin": `${spreadsheet}.printerSettings`,
  "xl/customProperty1.bin": `${spreadsheet}.customProperty`,
  "xl/drawings/vmlDrawing1.vml": "application/vnd.openxmlformats-officedocument.vmlDrawing",
  "xl/tables/table1.xml": `${spreadsheet}.table+xml`,
  "xl/slicers/slicer1.xml": "application/vnd.ms-excel.slicer+xml",
  "xl/ctrlProps/ctrlProp1.xml": "application/vnd.ms-excel.controlproperties+xml",
  "xl/webextensions/taskpanes.xml": "application/vnd.ms-office.webextensiontaskpanes+xml",
  "xl/volatileDependencies.xml": `${spreadsheet}.volatileDependencies+xml`,
  "xl/externalLinks/deep/notes.txt": "text/plain",
  "xl/vbaProject.bin": "application/vnd.ms-office.vbaProject",
};

const text = (content: string): Uint8Array => strToU8(content);

/** The workbook. Its sheets are Page, Ledger, Notes and Deep, of which the last two are hidden. */
export function workbookOfHidingPlaces(): Uint8Array {
  const names = [
    `<definedName name="_xlnm.Print_Area" localSheetId="0">Page!$A$1:$F$8</definedName>`,
    `<definedName name="price_of_it" comment="${told}">Ledger!$B$2*315</definedName>`,
    `<definedName name="wage" hidden="1">${secrets.wage}</definedName>`,
    `<definedName name="${secrets.word}">${secrets.cost}</definedName>`,
    `<definedName name="_xlnm._FilterDatabase" localSheetId="0" hidden="1">Page!$A$1:$C$8</definedName>`,
  ];
  const types = Object.entries(buried)
    .map(([name, type]) => `<Override PartName="/${name}" ContentType="${type}"/>`)
    .join("");
  const sheet = `${spreadsheet}.worksheet+xml`;
  const parts: Record<string, Uint8Array> = {
    "[Content_Types].xml": text(
      `${head}<Types xmlns="${packaged}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="png" ContentType="image/png"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="${spreadsheet}.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="${spreadsheet}.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="${spreadsheet}.sharedStrings+xml"/><Override PartName="/xl/theme/theme1.xml" ContentType="application/vnd.openxmlformats-officedocument.theme+xml"/><Override PartName="/xl/drawings/drawing1.xml" ContentType="application/vnd.openxmlformats-officedocument.drawing+xml"/>${[1, 2, 3, 4].map((n) => `<Override PartName="/xl/worksheets/sheet${n}.xml" ContentType="${sheet}"/>`).join("")}${types}</Types>`,
    ),
    "_rels/.rels": text(
      relations([
        ["rId1", "officeDocument", "xl/workbook.xml"],
        [
          "rId2",
          `${packaged.replace("package", "package")}/relationships/metadata/core-properties`,
          "docProps/core.xml",
        ],
        ["rId3", "extended-properties", "docProps/app.xml"],
        ["rId4", "custom-properties", "docProps/custom.xml"],
        [
          "rId5",
          "http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail",
          "docProps/thumbnail.jpeg",
        ],
      ]),
    ),
    "xl/workbook.xml": text(
      `${head}<workbook xmlns="${main}" xmlns:r="${office}"><fileSharing userName="${told}"/><workbookPr codeName="${secrets.word}"/><bookViews><workbookView activeTab="1"/></bookViews><sheets><sheet name="Page" sheetId="1" r:id="rId1"/><sheet name="Ledger" sheetId="2" r:id="rId2"/><sheet name="Notes" sheetId="3" state="hidden" r:id="rId3"/><sheet name="Swardsheet originals" sheetId="4" state="veryHidden" r:id="rId4"/></sheets><externalReferences><externalReference r:id="rId10"/></externalReferences><definedNames>${names.join("")}</definedNames><calcPr calcId="191029"/><customWorkbookViews><customWorkbookView name="${told}" guid="{0}" windowWidth="1" windowHeight="1" activeSheetId="1"/></customWorkbookViews><pivotCaches><pivotCache cacheId="1" r:id="rId11"/></pivotCaches></workbook>`,
    ),
    "xl/_rels/workbook.xml.rels": text(
      relations([
        ...[1, 2, 3, 4].map((n) => [`rId${n}`, "worksheet", `worksheets/sheet${n}.xml`] as const),
        ["rId5", "styles", "styles.xml"],
        ["rId6", "sharedStrings", "sharedStrings.xml"],
        ["rId7", "theme", "theme/theme1.xml"],
        ["rId8", "calcChain", "calcChain.xml"],
        ["rId9", "connections", "connections.xml"],
        ["rId10", "externalLink", "externalLinks/externalLink1.xml"],
        ["rId11", "pivotCacheDefinition", "pivotCache/pivotCacheDefinition1.xml"],
        ["rId12", "sheetMetadata", "metadata.xml"],
        ["rId13", "customXml", "../customXml/item1.xml"],
        ["rId14", "revisionHeaders", "revisions/revisionLog1.xml"],
        ["rId15", "http://schemas.microsoft.com/office/2017/10/relationships/person", "persons/person.xml"],
      ]),
    ),
    "xl/worksheets/sheet1.xml": text(page),
    "xl/worksheets/sheet2.xml": text(ledger),
    "xl/worksheets/sheet3.xml": text(ledger),
    "xl/worksheets/sheet4.xml": text(ledger),
    "xl/worksheets/_rels/sheet1.xml.rels": text(
      relations([
        ["rId1", "printerSettings", "../printerSettings/printerSettings1.bin"],
        ["rId2", "customProperty", "../customProperty1.bin"],
        ["rId3", "drawing", "../drawings/drawing1.xml"],
        ["rId4", "vmlDrawing", "../drawings/vmlDrawing1.vml"],
        ["rId5", "vmlDrawing", "../drawings/vmlDrawing1.vml"],
        ["rId6", "package", "../embeddings/book.xlsx"],
        ["rId7", "table", "../tables/table1.xml"],
        ["rId8", "comments", "../comments1.xml"],
        ["rId9", "hyperlink", `https://example.com/${secrets.word}`],
        ["rId10", "image", "../media/image1.png"],
        ["rId11", "pivotTable", "../pivotTables/pivotTable1.xml"],
        [
          "rId12",
          "http://schemas.microsoft.com/office/2017/10/relationships/threadedComment",
          "../threadedComments/threadedComment1.xml",
        ],
        ["rId13", "queryTable", "../queryTables/queryTable1.xml"],
      ]),
    ),
    "xl/drawings/drawing1.xml": text(drawing),
    "xl/drawings/_rels/drawing1.xml.rels": text(
      relations([
        ["rId1", "image", "../media/image1.png"],
        ["rId2", "chart", "../charts/chart1.xml"],
        ["rId4", "hyperlink", `https://example.com/${secrets.word}`],
      ]),
    ),
    "xl/media/image1.png": png,
    "xl/media/image2.png": png,
    "xl/styles.xml": text(styles),
    "xl/theme/theme1.xml": text(
      `${head}<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" name="${told}"><a:themeElements><a:clrScheme name="${told}"><a:dk1><a:sysClr val="windowText" lastClr="000000"/></a:dk1><a:lt1><a:sysClr val="window" lastClr="FFFFFF"/></a:lt1></a:clrScheme></a:themeElements><a:custClrLst><a:custClr name="${told}"><a:srgbClr val="112233"/></a:custClr></a:custClrLst></a:theme>`,
    ),
    "xl/sharedStrings.xml": text(
      `${head}<sst xmlns="${main}"><si><r><rPr><b/></rPr><t>Bid for the </t></r><r><rPr><color rgb="FFFFFFFF"/></rPr><t>${told}</t></r><r><t>lawn</t></r><rPh sb="0" eb="1"><t>${told}</t></rPh></si><si><t>${told}</t></si><si><t>shown across two</t></si></sst>`,
    ),
    ...Object.fromEntries(
      Object.entries(buried).map(([name]) => [
        name,
        name.endsWith("book.xlsx") ? zipSync({ "inside.txt": text(told) }) : text(`<x>${told}</x>`),
      ]),
    ),
  };
  return zipSync(parts);
}

/** Everything that a file holds, its parts unpacked, files inside files too, as one text for each. */
export function* everythingIn(
  bytes: Uint8Array,
  path = "",
): Generator<readonly [part: string, text: string]> {
  for (const [name, part] of Object.entries(unzipSync(bytes))) {
    const at = `${path}${name}`;
    yield [`${at} (name)`, at];
    if (part[0] === 0x50 && part[1] === 0x4b) yield* everythingIn(part, `${at} > `);
    yield [at, new TextDecoder("utf-8").decode(part)];
    yield [`${at} (wide)`, new TextDecoder("utf-16le").decode(part)];
  }
}

"""Writes workbooks that hold our functions with two libraries that have nothing to do with us.

    /usr/bin/python3 other-libraries.py FOLDER

calculated.xlsm  by xlsxwriter, every value there, as a host that knows the functions saves it
plain.xlsx       by openpyxl, no values: it asks to be calculated when it is opened
kept.xlsm        calculated.xlsm as openpyxl saves it again, its macros kept
loose.xlsx       by xlsxwriter, our functions in names, validations and conditional formats
rules.xlsx       by xlsxwriter, formats and validations of every kind that compares, side by side and one over another
beds.xlsx        by openpyxl, the same on a sheet with a quoted name, each block of several rules
"""

import math
import struct
import sys
import zlib
from pathlib import Path

import openpyxl
import xlsxwriter
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule, FormulaRule
from openpyxl.styles import Font, PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableFormula

try:
    from openpyxl.worksheet.formula import ArrayFormula
except ImportError:
    ArrayFormula = None  # Before 3.1 a sheet kept the ranges of its array formulas itself.

AREAS = [2500, 4000, 1000]
RATE = 7
BAG = 20
OTHER = "Smith's & sons"
QUOTED = "'Smith''s & sons'"
SEED = [area * RATE / 1000 for area in AREAS]
BAGS = [math.ceil(round(weight / BAG, 9)) for weight in SEED]
ACRE = 43560
HALF_ACRE, DOSE, SPRAY, TANK = ACRE / 2, 8, 40, 9
# The half acre takes 20 gal: two full tanks, and a third load of what is left.
LOADS = [[i + 1, water / SPRAY * ACRE, water, water / SPRAY * DOSE] for i, water in enumerate([9, 9, 2])]


def picture() -> bytes:
    """One grey pixel."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    pixel = zlib.compress(b"\x00\x80")
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", pixel) + chunk(b"IEND", b"")


def by_xlsxwriter(folder: Path) -> None:
    macros = folder / "macros.bin"
    macros.write_bytes(bytes(range(256)) * 16)
    image = folder / "pixel.png"
    image.write_bytes(picture())
    book = xlsxwriter.Workbook(str(folder / "calculated.xlsm"))
    book.calc_on_load = False
    book.add_vba_project(str(macros))
    site = book.add_worksheet("Site")
    other = book.add_worksheet(OTHER)
    book.define_name("Rate", "=Site!$B$1")
    book.define_name("Areas", "=Site!$A$2:$A$4")
    bold = book.add_format({"bold": True, "bg_color": "#DDEEFF", "num_format": "#,##0.00"})

    site.write_row("A1", ["Area, ft2 & more", RATE, "Seed", "Bags", "Note"], bold)
    for i, area in enumerate(AREAS):
        row = i + 2
        site.write_number(f"A{row}", area, bold)
        site.write_formula(f"C{row}", f"=_xldudf_SWARD_SEED_WEIGHT(A{row},$B$1)", bold, SEED[i])
        nested = f"=SWARD.PACKS(SWARD.SEED_WEIGHT(A{row},Rate),{BAG})"
        site.write_formula(f"D{row}", nested, bold, BAGS[i])
        note = f'=IF(_xldudf_SWARD_PACKS(A{row},1000)>2,"large & <wet>","small")'
        site.write_formula(f"E{row}", note, None, "large & <wet>" if area > 2000 else "small")
    site.write_formula("A6", "=SUM(A2:A4)", None, sum(AREAS))
    site.write_array_formula("B8:B10", "{=A2:A4*2}", bold, 2 * AREAS[0])
    site.write_number("B9", 2 * AREAS[1], bold)
    site.write_number("B10", 2 * AREAS[2], bold)
    site.write_row("A12", [HALF_ACRE, DOSE, SPRAY, TANK])
    site.write_dynamic_array_formula("G12:J14", "=_xldudf_SWARD_TANK_LOADS(A12,B12,C12,D12)", bold, LOADS[0][0])
    for i, load in enumerate(LOADS):
        for j, value in enumerate(load):
            if i + j > 0:
                site.write_number(11 + i, 6 + j, value, bold)
    site.write_formula("A16", "=SWARD.EDITION()", bold, "edition as shown")
    site.write_comment("A2", "Measured by wheel")
    site.write_url("F1", "https://example.com/?a=1&b=2", string="terms & conditions")
    site.insert_image("K1", str(image))
    site.freeze_panes(1, 1)
    site.set_landscape()
    site.print_area("A1:I16")
    site.repeat_rows(0)
    site.set_header("&LArea & seed&RPage &P")
    site.data_validation("F2", {"validate": "list", "source": ["spring", "autumn"]})
    site.data_validation("A3", {"validate": "decimal", "criteria": ">", "value": 5})
    red = book.add_format({"font_color": "#9C0006"})
    site.conditional_format("C2:C4", {"type": "cell", "criteria": ">", "value": 10, "format": red})
    site.conditional_format("D2:D4", {"type": "data_bar", "data_bar_2010": True})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"categories": "=Site!$A$2:$A$4", "values": "=Site!$C$2:$C$4"})
    site.insert_chart("K4", chart)

    other.write_formula("A1", "=_xldudf_SWARD_PACKS(SUM(Site!A2:A4),1000)", None, math.ceil(sum(AREAS) / 1000))
    other.write_formula("A2", f"=A1+SUM({QUOTED}!B5:B7)", None, math.ceil(sum(AREAS) / 1000) + sum(AREAS))
    other.add_table(
        "A4:C7",
        {
            "name": "Beds",
            "data": [[f"bed {i}", area] for i, area in enumerate(AREAS)],
            "columns": [
                {"header": "Bed"},
                {"header": "Area"},
                {"header": "Seed", "formula": "=_xldudf_SWARD_SEED_WEIGHT(Beds[[#This Row],[Area]],Rate)"},
            ],
        },
    )
    for i, weight in enumerate(SEED):
        seed = "=_xldudf_SWARD_SEED_WEIGHT(Beds[[#This Row],[Area]],Rate)"
        other.write_formula(f"C{i + 5}", seed, bold, weight)
    book.close()


def add_array(sheet, block: str, formula: str) -> None:
    first = block.split(":")[0]
    if ArrayFormula is not None:
        sheet[first] = ArrayFormula(block, formula)
        return
    sheet[first] = formula
    sheet.formula_attributes[first] = {"t": "array", "ref": block}


def add_name(book, name: str, text: str) -> None:
    defined = DefinedName(name, attr_text=text)
    if hasattr(book.defined_names, "append"):
        book.defined_names.append(defined)
    else:
        book.defined_names[name] = defined


def by_openpyxl(folder: Path) -> None:
    book = openpyxl.Workbook()
    site = book.active
    site.title = "Site"
    other = book.create_sheet(OTHER)
    add_name(book, "Rate", "Site!$B$1")
    site.append(["Area, ft2 & more", RATE, "Seed", "Bags", "Note"])
    for i, area in enumerate(AREAS):
        row = i + 2
        site[f"A{row}"] = area
        site[f"C{row}"] = f"=_xldudf_SWARD_SEED_WEIGHT(A{row},$B$1)"
        site[f"C{row}"].font = Font(bold=True)
        site[f"C{row}"].number_format = "#,##0.00"
        site[f"D{row}"] = f"=SWARD.PACKS(SWARD.SEED_WEIGHT(A{row},Rate),{BAG})"
        site[f"E{row}"] = f'=IF(_xldudf_SWARD_PACKS(A{row},1000)>2,"large & <wet>","small")'
    site["A6"] = "=SUM(A2:A4)"
    add_array(site, "B8:B10", "=A2:A4*2")
    for column, value in zip("ABCD", [HALF_ACRE, DOSE, SPRAY, TANK]):
        site[f"{column}12"] = value
    add_array(site, "G12:J14", "=_xldudf_SWARD_TANK_LOADS(A12,B12,C12,D12)")
    site["A2"].comment = Comment("Measured by wheel", "Estimator")
    site["F1"] = "terms & conditions"
    site["F1"].hyperlink = "https://example.com/?a=1&b=2"
    site.freeze_panes = "B2"
    site.page_setup.orientation = "landscape"
    site.print_area = "A1:I16"
    site.print_title_rows = "1:1"
    site.oddHeader.left.text = "Area & seed"
    list_rule = DataValidation(type="list", formula1='"spring,autumn"')
    list_rule.add("F2")
    site.add_data_validation(list_rule)
    fill = PatternFill("solid", bgColor="FFC7CE")
    site.conditional_formatting.add("C2:C4", CellIsRule(operator="greaterThan", formula=["10"], fill=fill))
    chart = BarChart()
    chart.add_data(Reference(site, min_col=3, min_row=1, max_row=4), titles_from_data=True)
    site.add_chart(chart, "K4")

    other["A1"] = "=_xldudf_SWARD_PACKS(SUM(Site!A2:A4),1000)"
    other["A2"] = f"=A1+SUM({QUOTED}!B5:B7)"
    for column, title in zip("ABC", ["Bed", "Area", "Seed"]):
        other[f"{column}4"] = title
    for i, area in enumerate(AREAS):
        other[f"A{i + 5}"] = f"bed {i}"
        other[f"B{i + 5}"] = area
        other[f"C{i + 5}"] = "=_xldudf_SWARD_SEED_WEIGHT(Beds[[#This Row],[Area]],Rate)"
    table = Table(displayName="Beds", ref="A4:C7")
    table._initialise_columns()
    for column, title in zip(table.tableColumns, ["Bed", "Area", "Seed"]):
        column.name = title
    seed = "_xldudf_SWARD_SEED_WEIGHT(Beds[[#This Row],[Area]],Rate)"
    table.tableColumns[2].calculatedColumnFormula = TableFormula(attr_text=seed)
    other.add_table(table)
    book.save(folder / "plain.xlsx")


def kept_by_openpyxl(folder: Path) -> None:
    book = openpyxl.load_workbook(folder / "calculated.xlsm", keep_vba=True)
    # Without its value, a function that has no native form would stop the sheet.
    book["Site"]["A16"] = None
    book.save(folder / "kept.xlsm")


def loose(folder: Path) -> None:
    book = xlsxwriter.Workbook(str(folder / "loose.xlsx"))
    book.calc_on_load = False
    site = book.add_worksheet("Site")
    site.write_column("A1", AREAS)
    site.write_formula("B1", "=Bags*2", None, 6)
    book.define_name("Bags", "=_xldudf_SWARD_PACKS(Site!$A$1,1000)")
    book.define_name("Site!Local", "=SWARD.PACKS(Site!$A$2,1000)")
    book.define_name("Edition", "=_xldudf_SWARD_EDITION()")
    red = book.add_format({"font_color": "#9C0006"})
    rule = {"type": "formula", "criteria": "=_xldudf_SWARD_PACKS($A1,1000)>2", "format": red}
    site.conditional_format("A1:A3", rule)
    rule = {"type": "formula", "criteria": '=_xldudf_SWARD_EDITION()<>""', "format": red}
    site.conditional_format("B1", rule)
    site.data_validation("C1", {"validate": "custom", "value": "=_xldudf_SWARD_PACKS(C1,1)<10"})
    bags = "_xldudf_SWARD_TOPDRESS_BAGS(A1+0,B1+0,C1+0,D1+0)"
    site.data_validation("C2", {"validate": "custom", "value": f"={bags}>{bags}+{bags}"})
    # Native it fits, and with its original beside it no more.
    three = "+".join(f"_xldudf_SWARD_PACKS({area},C1)" for area in ["A1", "B1", "A2"])
    site.data_validation("C3", {"validate": "custom", "value": f"={three}>C3"})
    book.close()


PACKS = "_xldudf_SWARD_PACKS"
RATE_OF = '_xldudf_SWARD_SEED_RATE(H1,"new")'


def rules(folder: Path) -> None:
    book = xlsxwriter.Workbook(str(folder / "rules.xlsx"))
    book.calc_on_load = False
    order = book.add_worksheet("Order")
    book.add_worksheet("Stock").write_column("A1", [25, 60])
    order.write_column("A1", AREAS)
    order.write_column("C1", [120, 40, 15])
    order.write_formula("F1", f"={PACKS}(A1,1000)", None, 3)
    red = book.add_format({"font_color": "#9C0006"})
    green = book.add_format({"font_color": "#006100"})
    rule = {"type": "formula", "criteria": f"={PACKS}($A2,1000)>$C2", "format": red}
    order.conditional_format("A2:A9", {**rule, "multi_range": "A2:A9 E2:E9"})
    between = {"minimum": f"={PACKS}($A$1,1000)", "maximum": f"={PACKS}(Stock!$A$2,5)"}
    order.conditional_format("C1:C9", {"type": "cell", "criteria": "between", **between, "format": green})
    order.conditional_format("C1:C9", {"type": "cell", "criteria": "<", "value": f"={PACKS}(A1,500)", "format": red})
    order.conditional_format("C1:C9", {"type": "cell", "criteria": ">", "value": 100, "format": red})
    order.conditional_format("D1:D9", {"type": "data_bar"})
    order.conditional_format("G1:G3", {"type": "formula", "criteria": f"={RATE_OF}>3", "format": red})
    order.conditional_format("G4", {"type": "formula", "criteria": "=_xldudf_SWARD_EDITION()>0", "format": red})
    order.data_validation("B1:B3", {"validate": "custom", "value": f"={PACKS}(B1,1)<10", "error_message": "Fewer"})
    least = {"minimum": 1, "maximum": f"={PACKS}($A$1,500)"}
    order.data_validation("B4:B6", {"validate": "decimal", "criteria": "between", **least, "error_title": "Bags"})
    order.data_validation("B7", {"validate": "integer", "criteria": ">", "value": f"={PACKS}(Stock!A1,10)"})
    order.data_validation("B8", {"validate": "list", "source": ["spring", "autumn"]})
    order.data_validation("B9", {"validate": "custom", "value": "=B9<>SWARD.EDITION()"})
    book.close()


def beds(folder: Path) -> None:
    book = openpyxl.Workbook()
    site = book.active
    site.title = "Smith's beds"
    for i, area in enumerate(AREAS):
        site[f"B{i + 2}"] = area
        site[f"C{i + 2}"] = f"=_xldudf_SWARD_SEED_WEIGHT(B{i + 2},7)"
    fill = PatternFill("solid", bgColor="FFC7CE")
    weight = "_xldudf_SWARD_SEED_WEIGHT($B2,7)"
    block = site.conditional_formatting
    block.add("B2:C4", FormulaRule(formula=[f'AND({weight}>20,"a {{1}} ""b"""<>"")'], fill=fill))
    block.add("B2:C4", CellIsRule(operator="equal", formula=[f"{PACKS}(B2,1000)"], fill=fill, stopIfTrue=True))
    block.add("B2:C4", FormulaRule(formula=["$B2>3000"], fill=fill))
    length = DataValidation(type="textLength", operator="lessThan", formula1=f"{PACKS}($B$2,500)")
    length.add("A2:A4")
    length.add("A9")
    site.add_data_validation(length)
    day = DataValidation(type="date", operator="greaterThan", formula1=f"45000+{PACKS}($B$2,500)")
    day.add("D2")
    site.add_data_validation(day)
    book.save(folder / "beds.xlsx")


if __name__ == "__main__":
    target = Path(sys.argv[1])
    by_xlsxwriter(target)
    by_openpyxl(target)
    kept_by_openpyxl(target)
    loose(target)
    rules(target)
    beds(target)

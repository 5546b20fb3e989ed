"""Prints what the cells of a workbook hold as JSON, by sheet and address; a formula begins with "=".

    /usr/bin/python3 read-cells.py FILE
"""

import json
import sys

import openpyxl

book = openpyxl.load_workbook(sys.argv[1])
cells = {
    sheet.title: {cell.coordinate: cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None}
    for sheet in book.worksheets
}
print(json.dumps(cells, default=str))

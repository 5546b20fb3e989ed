"""Prints the notes of a workbook as JSON, by sheet and address.

    /usr/bin/python3 read-notes.py FILE
"""

import json
import sys

import openpyxl

book = openpyxl.load_workbook(sys.argv[1])
notes = {
    sheet.title: {cell.coordinate: cell.comment.text for row in sheet.iter_rows() for cell in row if cell.comment}
    for sheet in book.worksheets
}
print(json.dumps(notes))

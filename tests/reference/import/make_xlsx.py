"""Workbooks written by openpyxl, a general spreadsheet library, with what they hold, for the reader of .xlsx files.

    python3 make_xlsx.py          (openpyxl 3.0.9, Debian bookworm)

lesson-1900.xlsx and lesson-1904.xlsx: the same lesson in both systems of dates, header merged over two lines, shared
texts, a hidden row, a hidden column, a hidden sheet, an error, a formula (openpyxl saves no value for one).
"""
import datetime
import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904

for name, mac in (('lesson-1900.xlsx', False), ('lesson-1904.xlsx', True)):
    book = openpyxl.Workbook()
    if mac:
        book.epoch = CALENDAR_MAC_1904
    # The bytes must not depend on the day they are made.
    book.properties.created = book.properties.modified = datetime.datetime(2026, 1, 1)
    sheet = book.active
    sheet.title = 'Lesson'
    sheet.append(['Date', 'Golfer', 'Plays', 'Club', None, 'Note'])
    sheet.append([None, None, None, 'speed (mph)', 'path (deg)', None])
    sheet.merge_cells('D1:E1')
    sheet.append([datetime.date(2026, 3, 4), 'G01', 'right', 80.5, 1.25, 'first & <best>'])
    sheet.append([datetime.datetime(2026, 3, 4, 14, 5, 30), 'G01', 'right', 81, '#N/A', 'caf\u00e9'])
    sheet.append([datetime.date(2024, 2, 29), 'G02', 'left', '=D3+1', -0.1, None])
    sheet.row_dimensions[5].hidden = True
    sheet.column_dimensions['F'].hidden = True
    other = book.create_sheet('Old')
    other.append(['a', 'b'])
    other.append([1, 2])
    other.sheet_state = 'hidden'
    book.save(name)

"""A family's size table as a workbook: read and checked, or written so that it reads back the same.

Sheets: Family (key, value), Measures, Slips, Parts and Fit. Measures, Slips and Fit may be missing.
"""

from sizing.workbook.notes import WorkbookError
from sizing.workbook.read import read_workbook
from sizing.workbook.safe import MOST_FILE_BYTES
from sizing.workbook.write import workbook_bytes, write_workbook

__all__ = ["MOST_FILE_BYTES", "WorkbookError", "read_workbook", "workbook_bytes", "write_workbook"]

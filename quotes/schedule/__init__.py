"""A window schedule: a workbook with one window a line, read tolerantly and given back annotated.

Knows no Django. `columns` finds what the sender's headings mean, `read` makes lines of the cells,
`write` makes the template and adds the answers to the sender's own workbook.
"""

from quotes.schedule.columns import CANNOT, Field, fields_of
from quotes.schedule.read import MOST_LINES, Line, Schedule, read_count, read_schedule
from quotes.schedule.write import Result, annotated_bytes, template_bytes

__all__ = [
    "CANNOT", "MOST_LINES", "Field", "Line", "Result", "Schedule", "annotated_bytes", "fields_of",
    "read_count", "read_schedule", "template_bytes",
]  # fmt: skip

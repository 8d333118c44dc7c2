"""All that the desk holds of one customer, as JSON and as a workbook."""

from __future__ import annotations

import io
import json
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font

from ordering.models import Event, Notice, OrderLine, ToldWindow
from quotes.lists import personal as quoted
from quotes.models import Customer

# A workbook's cell holds 32,767 letters by its format (ECMA-376).
MOST_LETTERS = 32_767


def held_of(customer: Customer) -> list[quoted.Section]:
    """Everything, section by section; empty ones are left out."""
    orders = customer.orders.order_by("pk")
    found = [
        *quoted.held_of(customer),
        ("orders", quoted.rows(orders)),
        ("lines of orders", quoted.rows(OrderLine.objects.filter(order__in=orders))),
        ("history of orders", quoted.rows(Event.objects.filter(order__in=orders))),
        ("windows told", quoted.rows(ToldWindow.objects.filter(line__order__in=orders))),
        ("notices", quoted.rows(Notice.objects.filter(event__order__in=orders))),
    ]
    return [(words, rows) for words, rows in found if rows]


def as_json(customer: Customer) -> str:
    return json.dumps(
        dict(held_of(customer)), cls=_Encoder, ensure_ascii=False, indent=1, sort_keys=False
    )


def as_workbook(customer: Customer) -> bytes:
    """A sheet a section, a line a row, every cell as text, so that nothing in it is a formula."""
    book = Workbook(write_only=True)
    for words, rows in held_of(customer):
        sheet = book.create_sheet(words)
        head = [_text(sheet, name.replace("_", " ")) for name in rows[0]]
        for cell in head:
            cell.font = Font(bold=True)
        sheet.append(head)
        for row in rows:
            sheet.append([_text(sheet, value) for value in row.values()])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _text(sheet: Any, value: Any) -> WriteOnlyCell:
    if value is None:
        words = ""
    elif isinstance(value, str):
        words = value
    else:
        words = json.dumps(value, cls=_Encoder, ensure_ascii=False).strip('"')
    cell = WriteOnlyCell(sheet, value=ILLEGAL_CHARACTERS_RE.sub("", words)[:MOST_LETTERS])
    cell.data_type = "s"
    return cell


class _Encoder(DjangoJSONEncoder):
    def default(self, value: Any) -> Any:
        return str(value) if hasattr(value, "amount") else super().default(value)

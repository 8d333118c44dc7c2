"""The quote as a workbook: the lines with their totals, then every measure of every opening.

Amounts are numbers in the currency's own decimals.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotes.counted import unit_name
from quotes.documents.cells import Value, finished, heads, put
from quotes.documents.content import Document, LineRow
from quotes.documents.sheet import Paper
from sizing.prices import minor_units
from sizing.wording import N_, speaking
from sizing.wording import gettext as _

# (name, width in letters, decimals where they are not the currency's)
_LINE_HEADS = (
    (N_("No."), 6, None), (N_("Part"), 16, None), (N_("Description"), 46, None), (N_("For"), 26, None),
    (N_("Quantity"), 10, None), (N_("Sold as"), 9, None), (N_("Lead time"), 34, None),
    (N_("Price"), 12, 4), (N_("Off for the quantity, %"), 12, 4), (N_("Discount"), 12, None),
    (N_("Net"), 12, None), (N_("Tax"), 12, None), (N_("Total"), 14, None),
)  # fmt: skip
_BREAK, _DISCOUNT = 8, 9
_OPENING_HEADS = (
    (N_("Opening"), 24), (N_("Family"), 26), (N_("Count"), 8), (N_("Finish"), 12), (N_("Result"), 28),
    (N_("Measure"), 26), (N_("As you said"), 16), (N_("As we read it"), 24), (N_("Our check"), 40),
)  # fmt: skip


def quote_workbook(document: Document, link: str = "", paper: Paper = "letter") -> bytes:
    """The document as an .xlsx file in its own language: sheets "Quote" and "Openings"."""
    book = Workbook()
    sheet = book.active
    with speaking(document.language):
        sheet.title = _("Quote")
        _quote(sheet, document, link)
        _openings(book.create_sheet(_("Openings")), document)
    return finished(book, paper)


def _quote(sheet: Worksheet, document: Document, link: str) -> None:
    row = _facts(sheet, document, link)
    # A quote at list price has no use for columns of zeros.
    off = set() if document.has_discount else {_DISCOUNT}
    if not any(line.break_percent for line in document.lines):
        off.add(_BREAK)
    columns = [
        (_(name), wide) for at, (name, wide, _digits) in enumerate(_LINE_HEADS) if at not in off
    ]
    row += 1
    heads(sheet, row, columns)
    for line in document.lines:
        row += 1
        _line(sheet, row, line, document.currency, off)
    digits = minor_units(document.currency)
    row += 1
    for label, amount in document.totals:
        strong = label == document.total_label
        row += 1
        put(sheet, row, 3, label, bold=strong)
        put(sheet, row, len(columns), amount, bold=strong, digits=digits)
    row += 1
    for title, text in [
        *((_("Please read"), notice) for notice in document.notices),
        *document.cautions,
        *document.how_to_texts,
    ]:
        row += 1
        put(sheet, row, 1, title, bold=True)
        put(sheet, row, 3, text)


def _facts(sheet: Worksheet, document: Document, link: str) -> int:
    """What stands above the lines; the first row below it."""
    facts: list[tuple[str, str]] = [
        (_("Quote"), document.number),
        (_("Issue"), str(document.issue)),
        (_("Date"), document.issued_on.isoformat() if document.issued_on else _("not issued")),
        (
            _("Holds until"),
            document.valid_until.isoformat() if document.valid_until else _("not issued"),
        ),
        (_("From"), ", ".join(document.shop)),
        (_("For"), ", ".join(document.customer)),
        (_("Goes to"), ", ".join(document.ship_to) or _("Address to come")),
        (_("Terms"), document.terms_words),
        (_("Amounts in"), document.currency),
        (_("Check and accept"), link),
        (_("Note"), document.note),
    ]
    row = 1
    for name, text in facts:
        if text:
            put(sheet, row, 1, name, bold=True)
            put(sheet, row, 3, text)
            row += 1
    return row


def _line(sheet: Worksheet, row: int, line: LineRow, currency: str, off: Collection[int]) -> None:
    digits = minor_units(currency)
    values: Sequence[Value] = (
        line.number, line.part_number, line.description, "; ".join(line.openings), line.quantity,
        unit_name(line.unit), line.lead, line.unit_price, line.break_percent,
        line.off(currency), line.net,
        line.tax, line.total,
    )  # fmt: skip
    shown = [at for at in range(len(_LINE_HEADS)) if at not in off]
    for column, at in enumerate(shown, 1):
        put(sheet, row, column, values[at], digits=_LINE_HEADS[at][2] or digits)
    if line.unit_price is None:
        put(sheet, row, 8, _("to come"))


def _openings(sheet: Worksheet, document: Document) -> None:
    heads(sheet, 1, [(_(name), wide) for name, wide in _OPENING_HEADS])
    sheet.freeze_panes = "B2"
    row = 1
    for opening in document.openings:
        for measure in opening.measures:
            row += 1
            values = (
                opening.name, opening.family, opening.count, opening.finish, opening.result,
                measure.label, measure.said, measure.understood, measure.fit,
            )  # fmt: skip
            for column, value in enumerate(values, 1):
                put(sheet, row, column, value)

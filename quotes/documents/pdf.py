"""The quote on paper: lines and totals first, then each opening with its drawing and measures."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Sequence

from quotes.counted import counted
from quotes.days import short_date
from quotes.documents.blocks import link_block, parties, titled_texts
from quotes.documents.content import Document, LineRow, OpeningSheet, show_amount, show_price
from quotes.documents.paper_drawing import draw
from quotes.documents.sheet import DOUBT, FAINT, HAIR, INK, LEFT, Align, Paper, Sheet
from sizing.wording import N_, speaking
from sizing.wording import gettext as _

# Columns of the lines: name, alignment, and how far from the left edge or (right) from the right one.
_COLUMNS: tuple[tuple[str, Align, float], ...] = (
    (N_("No."), "left", 0),
    (N_("Part"), "left", 22),
    (N_("Quantity"), "right", 274),
    (N_("Price"), "right", 216),
    (N_("Discount"), "right", 166),
    (N_("Net"), "right", 112),
    (N_("Tax"), "right", 62),
    (N_("Total"), "right", 0),
)
_DISCOUNT = 4
_FIGURES_WIDE = 316.0
_SHEET_HIGH = 188.0
_DRAWING_WIDE = 216.0
_LOGO_HIGH = 34.0


def quote_pdf(document: Document, link: str = "", paper: Paper = "letter", logo: str = "") -> bytes:
    """The document as a PDF, in its own language. `link` is the customer's page; a draft has none yet. `logo` is
    the shop's, as `quotes.logo` makes it."""
    with speaking(document.language):
        return _drawn(document, link, paper, logo)


def _drawn(document: Document, link: str, paper: Paper, logo: str) -> bytes:
    sheet = Sheet(document.title, document.shop[0], paper)
    if logo:
        sheet.picture(b64decode(logo), _LOGO_HIGH)
    _heads(sheet, document)
    _lines(sheet, document)
    _totals(sheet, document)
    _link(sheet, document, link)
    _texts(sheet, document)
    draw_openings(sheet, document.openings)
    issue = str(document.issue)
    if not document.issued_on:
        issue = _("{number} draft").format(number=issue)
    return sheet.finish(
        [
            (_("From"), document.shop[0], 150),
            (_("Quote"), document.number, 66),
            (_("Issue"), issue, 70),
            (_("Date"), _day(document.issued_on) or _("not issued"), 82),
            (_("Holds until"), _day(document.valid_until) or _("not issued"), 88),
        ]
    )


def _day(day: object) -> str:
    return short_date(day) if day else ""


def _heads(sheet: Sheet, document: Document) -> None:
    """Three cells: the shop, the customer, where it goes."""
    parties(
        sheet,
        (
            (_("From"), document.shop),
            (_("For"), document.customer),
            (_("Goes to"), document.ship_to or (_("Address to come"),)),
        ),
    )
    sheet.words(LEFT, sheet.y, document.title, 14, bold=True)
    # Beside the title as far as there is room for it: terms are long in some languages and with a discount.
    room = sheet.right - LEFT - sheet.wide(document.title, 14, bold=True) - 12
    rows = sheet.lines_of(document.amounts_words, room, 8)
    for row in rows:
        sheet.words(sheet.right, sheet.y, row, 8, align="right", colour=FAINT)
        sheet.y -= 10
    sheet.y -= 6


def _column_heads(sheet: Sheet, document: Document) -> None:
    for place, (name, align, at) in enumerate(_COLUMNS):
        if place != _DISCOUNT or document.has_discount:
            x = _edge(sheet, align, at)
            sheet.words(x, sheet.y, _(name), 7, bold=True, align=align, colour=FAINT)
    sheet.rule(LEFT, sheet.y - 4, sheet.right, sheet.y - 4, 0.9)
    sheet.y -= 15


def _edge(sheet: Sheet, align: Align, at: float) -> float:
    return LEFT + at if align == "left" else sheet.right - at


def _lines(sheet: Sheet, document: Document) -> None:
    _column_heads(sheet, document)
    for line in document.lines:
        blocks = _what(sheet, line)
        high = sum(size * 1.28 for _, size, _ in blocks) + 6
        if sheet.need(high):
            _column_heads(sheet, document)
        _figures(sheet, document, line)
        y = sheet.y
        for text, size, bold in blocks:
            sheet.words(LEFT + _COLUMNS[1][2], y, text, size, bold=bold)
            y -= size * 1.28
        sheet.rule(LEFT, y + 4, sheet.right, y + 4, 0.4, HAIR)
        sheet.y = y - 7


def _what(sheet: Sheet, line: LineRow) -> list[tuple[str, float, bool]]:
    """(text, size, bold) lines of the part column."""
    texts = [(line.part_number, 9.0, True)] if line.part_number else []
    texts.append((line.description, 8.0, False))
    if line.openings:
        texts.append((_("For {openings}").format(openings=line.for_words), 7.0, False))
    if line.lead:
        texts.append((_("Lead time {lead}").format(lead=line.lead), 7.0, False))
    if line.break_percent:
        texts.append((line.break_words, 7.0, False))
    wide = sheet.right - _FIGURES_WIDE - LEFT - _COLUMNS[1][2]
    return [
        (row, size, bold)
        for text, size, bold in texts
        for row in sheet.lines_of(text, wide, size, bold, most=40)
    ]


def _figures(sheet: Sheet, document: Document, line: LineRow) -> None:
    currency = document.currency
    figures = [
        str(line.number),
        None,
        counted(line.quantity, line.unit),
        show_price(line.unit_price, currency),
        *(
            show_amount(amount, currency)
            for amount in (line.off(currency), line.net, line.tax, line.total)
        ),
    ]
    for place, (text, (_name, align, at)) in enumerate(zip(figures, _COLUMNS, strict=True)):
        if text is not None and (place != _DISCOUNT or document.has_discount):
            sheet.words(_edge(sheet, align, at), sheet.y, text, 8.5, align=align)


def _totals(sheet: Sheet, document: Document) -> None:
    sheet.y -= 4
    for label, amount in document.totals:
        strong = label == document.total_label
        rows = sheet.lines_of(label, 300, 9, strong, 3)
        sheet.need(len(rows) * 12 + 6)
        if strong:
            sheet.rule(LEFT + 200, sheet.y + 10, sheet.right, sheet.y + 10, 0.9)
        shown = show_amount(amount, document.currency, code=strong)
        sheet.words(sheet.right, sheet.y, shown, 10 if strong else 9, bold=strong, align="right")
        for row in rows:
            sheet.words(sheet.right - 112, sheet.y, row, 9, bold=strong, align="right")
            sheet.y -= 12
        sheet.y -= 2


def _link(sheet: Sheet, document: Document, link: str) -> None:
    if not link:
        return
    link_block(
        sheet,
        link,
        _("Check the measures and accept"),
        _("Open this page by the code or its address:"),
        _("The offer holds until {day}.").format(day=_day(document.valid_until)),
    )


def _texts(sheet: Sheet, document: Document) -> None:
    """The note, the notices, the cautions, how each measure is taken."""
    note = [(_("Note"), document.note)] if document.note else []
    notices = [(_("Please read"), text) for text in document.notices]
    titled_texts(sheet, [*note, *notices, *document.cautions, *document.how_to_texts])


def draw_openings(
    sheet: Sheet, openings: Sequence[OpeningSheet], said: str = N_("As you said")
) -> None:
    """Each opening with its drawing and measures; `said` heads the column of what was said."""
    for opening in openings:
        if not sheet.need(_height(sheet, opening)):
            sheet.rule(LEFT, sheet.y, sheet.right, sheet.y, 0.9)
            sheet.y -= 16
        sheet.y = min(_opening(sheet, opening, said), sheet.y - _SHEET_HIGH) - 6


def _height(sheet: Sheet, opening: OpeningSheet) -> float:
    """How high an opening gets: its drawing, or its measures when their words take many lines."""
    wide = sheet.right - LEFT - _DRAWING_WIDE - 14
    rows = (
        max(len(sheet.lines_of(measure.fit, wide * 0.22, 7.5)), 1 + len(measure.said) // 14)
        for measure in opening.measures
    )
    return max(_SHEET_HIGH, 100 + sum(9.6 * min(count, 4) + 5 for count in rows))


def _opening(sheet: Sheet, opening: OpeningSheet, said: str) -> float:
    """Drawing left, title and measures right; returns the y under the measures."""
    top = sheet.y
    draw(sheet, opening.drawing, LEFT, top + 6, _DRAWING_WIDE, _SHEET_HIGH - 8)
    x = LEFT + _DRAWING_WIDE + 14
    wide = sheet.right - x
    y = sheet.column(x, top, opening.name, wide, 11, bold=True, most=3)
    count = opening.alike
    about = [opening.family, opening.finish, count, opening.split]
    y = sheet.column(x, y, ", ".join(word for word in about if word), wide, 8, colour=FAINT)
    y = sheet.column(x, y - 1, opening.result, wide, 9, bold=True) - 4
    edges = (x, x + wide * 0.3, x + wide * 0.48, x + wide * 0.77)
    for name, edge in zip(
        (_("Measure"), _(said), _("As we read it"), _("Our check")), edges, strict=True
    ):
        sheet.words(edge, y, name, 7, bold=True, colour=FAINT)
    sheet.rule(x, y - 4, sheet.right, y - 4, 0.7)
    y -= 14
    for measure in opening.measures:
        lowest = y
        cells = (measure.label, measure.said, measure.understood, measure.fit)
        for text, edge, after in zip(cells, edges, (*edges[1:], sheet.right + 4), strict=True):
            colour = DOUBT if measure.doubtful and edge == edges[-1] else INK
            lowest = min(
                lowest, sheet.column(edge, y, text, after - edge - 4, 7.5, colour=colour, most=4)
            )
        sheet.rule(x, lowest + 5, sheet.right, lowest + 5, 0.4, HAIR)
        y = lowest - 4
    if opening.cautions:
        y = sheet.column(
            x,
            y - 2,
            _("Caution: {cautions}.").format(cautions="; ".join(opening.cautions)),
            wide,
            7,
            colour=DOUBT,
        )
    return y

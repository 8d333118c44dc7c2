"""What a factory order says, as plain data, and its two papers: PDF and workbook from the same rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from ordering.documents.pdf import factory_order_pdf
from ordering.documents.workbook import factory_order_workbook
from ordering.links import page_of_factory
from ordering.models import FactoryOrder, OrderLine
from ordering.states import Step
from quotes.documents.content import OpeningSheet, openings_to_make
from quotes.documents.naming import name_of
from quotes.lists.shop import the_shop
from quotes.lists.specials import as_answered
from quotes.models import Shop
from sizing.columns import XLSX
from sizing.people import name_of as person

CAUTION = (
    "Balances hold springs under tension and long parts are heavy: pack and mark them so that whoever "
    "unpacks them knows."
)


@dataclass(frozen=True)
class Row:
    """One line. `reference` is the customer order's number and line, to be written on the parcel."""

    reference: str
    part_number: str
    description: str
    quantity: int
    unit: str
    remake: str
    openings: tuple[OpeningSheet, ...]


@dataclass(frozen=True)
class Paper:
    number: str
    sent_on: date
    shop: tuple[str, ...]
    factory: tuple[str, ...]
    by: str
    note: str
    link: str
    rows: tuple[Row, ...]
    caution: str = CAUTION


def paper_of(order: FactoryOrder, shop: Shop | None = None) -> Paper:
    """What there is to make, as of now: a paper printed later leaves out what was cancelled."""
    factory, shop = order.factory, shop or the_shop()
    lines = order.lines.exclude(step=Step.CANCELLED)
    lines = lines.select_related("order", "part", "quote_line__issue", "remake_of")
    return Paper(
        number=order.number,
        sent_on=order.sent_on,
        shop=shop.lines,
        factory=tuple(word for word in (factory.name, factory.contact, factory.email) if word),
        by=person(order.by),
        note=order.note,
        link=page_of_factory(order),
        rows=tuple(_row(line) for line in lines.order_by("order", "number")),
    )


def _row(line: OrderLine) -> Row:
    return Row(
        reference=str(line),
        part_number=line.part_number,
        description="; ".join(filter(None, [line.description, as_answered(line.quote_line)])),
        quantity=line.going,
        unit=line.sold_as,
        remake=f"made again for {line.remake_of}" if line.remake_of else "",
        openings=openings_of(line),
    )


def openings_of(line: OrderLine) -> tuple[OpeningSheet, ...]:
    """The windows a special is made to: as the customer accepted them."""
    source = line.remake_of or line
    quoted = source.quote_line
    if quoted is None or quoted.kind != "special" or not quoted.issue.document:
        return ()
    names = {name_of(opening) for opening in quoted.openings.all()}
    sheets = openings_to_make(quoted.issue.document)
    return tuple(sheet for sheet in sheets if sheet.name in names)


def papers_of(
    order: FactoryOrder, endings: Iterable[str] = ("pdf", "xlsx"), shop: Shop | None = None
) -> Iterator[tuple[str, bytes, str]]:
    """(file name, content, media type) of those with these endings; `shop`, where it has been read already."""
    shop = shop or the_shop()
    paper, size = paper_of(order, shop), shop.paper_size
    for ending in endings:
        if ending == "pdf":
            yield f"{order.number}.pdf", factory_order_pdf(paper, size), "application/pdf"
        else:
            yield f"{order.number}.xlsx", factory_order_workbook(paper, size), XLSX

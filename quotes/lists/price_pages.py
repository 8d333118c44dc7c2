"""The lists that prices are made by: what counts from which day on, columns said once for page, CSV and workbook."""

from __future__ import annotations

from decimal import Decimal
from operator import attrgetter
from typing import Any

from sizing import lengths, weights
from sizing.columns import Column
from sizing.lists import Listing

_FROM = Column("From", attrgetter("in_force_from"))


def _family(row: Any) -> str:
    return row.family.name if row.family else "all without their own"


def _inches(field: str) -> Column:
    def value(row: Any) -> Decimal | None:
        length = getattr(row, field)
        return None if length is None else round(Decimal(length) / lengths.PER_INCH, 4)

    return Column(f"{field.replace('_', ' ').capitalize()}, in", value, figure=True, shown=False)


def _pounds(row: Any) -> Decimal | None:
    if row.weight is None:
        return None
    return weights.to_decimal(weights.Weight(row.weight), weights.WeightUnit.POUND)


PRICES = (
    Listing(
        "terms",
        "Terms",
        (
            Column("Name", attrgetter("name")),
            _FROM,
            Column("Off list, %", attrgetter("discount_percent"), figure=True),
            Column("On accepting, %", attrgetter("deposit_percent"), figure=True),
            Column("Days to pay", attrgetter("net_days"), figure=True),
        ),
        a_page=None,
    ),
    Listing(
        "breaks",
        "Quantity breaks",
        (
            Column("Family", _family),
            _FROM,
            Column("From quantity", attrgetter("from_quantity"), figure=True),
            Column("Off, %", attrgetter("percent"), figure=True),
        ),
        a_page=None,
    ),
    Listing(
        "freight",
        "Freight",
        (
            Column("Carrier", attrgetter("carrier")),
            _FROM,
            Column("Longest piece", lambda row: None, figure=True, filed=False),
            Column("Length and girth", lambda row: None, figure=True, filed=False),
            Column("Weight", lambda row: None, figure=True, filed=False),
            _inches("length"),
            _inches("length_and_girth"),
            Column("Weight, lb", _pounds, figure=True, shown=False),
            Column("Price", lambda row: row.price.amount, figure=True),
            Column("Currency", attrgetter("price_currency"), shown=False),
        ),
        a_page=None,
    ),
    Listing(
        "tax",
        "Sales tax",
        (
            Column("Authority", attrgetter("name")),
            _FROM,
            Column(
                "Place", lambda row: " ".join(filter(None, (row.country, row.region, row.town)))
            ),
            Column("Rate, %", attrgetter("percent"), figure=True),
            Column("Freight", lambda row: "taxed" if row.on_freight else "not taxed"),
        ),
        a_page=None,
    ),
    Listing(
        "margins",
        "Margins on specials",
        (
            Column("Family", _family),
            _FROM,
            Column("On cost, %", attrgetter("percent"), figure=True),
            Column("Checked over", attrgetter("check_over"), figure=True),
            Column("Currency", attrgetter("currency"), shown=False),
        ),
        a_page=None,
    ),
)

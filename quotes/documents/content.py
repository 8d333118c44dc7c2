"""What one issue of a quote says, as plain data: the page, the paper and the workbook are made from it.

Amounts are Decimals in whole minor units of `currency`. `to_plain` and `from_plain` carry a document
through JSON without loss, so an issued quote reads the same for ever. Knows no Django.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, astuple, dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from quotes import drawing as shapes
from quotes.allot import round_money
from quotes.counted import counted
from quotes.drawing import Drawing
from sizing.prices import minor_units
from sizing.wording import N_
from sizing.wording import gettext as _

NOTICES = (
    N_("Every part is made to order from the measures shown here. Parts cut to order cannot be returned, "
    "so please check each measure before you accept."),
    N_("Lead times are counted from the day the order goes to the factory. They are the best "
    "we know on the day of issue, not a promised date."),
    N_("Local building code and licensed practice decide what may be fitted where."),
)  # fmt: skip


# Openings of one line that are listed by name.
MOST_LISTED = 20
# How `to_come` names freight that is still to be asked for, and tax for which no rate is kept.
FREIGHT = N_("freight")
TAX = N_("sales tax")
# Where a plain document of another language keeps its openings in English.
TO_MAKE = "openings_to_make"


@dataclass(frozen=True)
class MeasureLine:
    """One measure: as the customer said it, as the desk understood it, and how it fits."""

    label: str
    said: str
    understood: str
    fit: str
    doubtful: bool = False


@dataclass(frozen=True)
class OpeningSheet:
    """One window. `name` is what the lines and the customer's ticks call it, unique in the document."""

    name: str
    family: str
    count: int
    finish: str
    measures: tuple[MeasureLine, ...]
    result: str
    split: str
    cautions: tuple[str, ...]
    drawing: Drawing

    @property
    def is_doubtful(self) -> bool:
        """Whether one of its measures may be wrong."""
        return any(measure.doubtful for measure in self.measures)

    @property
    def alike(self) -> str:
        """3 alike; empty for one."""
        return _("{count} alike").format(count=self.count) if self.count > 1 else ""


@dataclass(frozen=True)
class LineRow:
    """One line. A line without a price has None in every amount."""

    number: int
    kind: str
    part_number: str
    description: str
    openings: tuple[str, ...]
    quantity: int
    unit: str
    lead: str
    unit_price: Decimal | None
    break_percent: Decimal
    discount: Decimal | None
    net: Decimal | None
    tax: Decimal | None
    total: Decimal | None

    @property
    def for_words(self) -> str:
        """The openings by name, or how many where a list would be too long to read."""
        if len(self.openings) > MOST_LISTED:
            return _("{count} openings, each shown below").format(count=len(self.openings))
        return "; ".join(self.openings)

    @property
    def counted(self) -> str:
        return counted(self.quantity, self.unit)

    def off(self, currency: str) -> Decimal | None:
        """All that comes off price times count to make the net: for the quantity, and by the terms."""
        if self.unit_price is None or self.net is None:
            return None
        return round_money(self.unit_price * self.quantity, currency) - self.net

    @property
    def break_words(self) -> str:
        """What is off for the quantity; empty where nothing is."""
        if not self.break_percent:
            return ""
        percent = f"{self.break_percent.normalize():f}"
        return _("{percent} % off for the quantity").format(percent=percent)


@dataclass(frozen=True)
class Sums:
    goods: Decimal
    discount: Decimal
    freight: Decimal
    freight_tax: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal


@dataclass(frozen=True)
class Document:
    """`issued_on` and `valid_until` are None while it is a draft; `to_come` is what the total lacks."""

    number: str
    issue: int
    issued_on: date | None
    valid_until: date | None
    currency: str
    shop: tuple[str, ...]
    customer: tuple[str, ...]
    ship_to: tuple[str, ...]
    taken_by: str
    note: str
    lines: tuple[LineRow, ...]
    openings: tuple[OpeningSheet, ...]
    sums: Sums
    freight_words: str
    tax_words: str
    terms_words: str
    cautions: tuple[tuple[str, str], ...]
    notices: tuple[str, ...]
    to_come: tuple[str, ...] = ()
    # What its words are written in; its labels follow.
    language: str = "en"
    # (measure, how it is taken) of every measure that the openings show, each once.
    how_to: tuple[tuple[str, str], ...] = ()
    # As the shop has typed it; empty where it has not.
    how_to_pay: str = ""

    @property
    def how_to_texts(self) -> list[tuple[str, str]]:
        """How it is paid and how each measure is taken, as titled texts of a paper."""
        pay = [(_("How to pay"), self.how_to_pay)] if self.how_to_pay else []
        return pay + [(_("How to measure"), f"{measure}: {how}") for measure, how in self.how_to]

    @property
    def title(self) -> str:
        return _("Quote {number}, issue {issue}").format(number=self.number, issue=self.issue)

    @property
    def amounts_words(self) -> str:
        return _("Amounts in {currency}. Terms: {terms}.").format(
            currency=self.currency, terms=self.terms_words
        )

    @property
    def has_discount(self) -> bool:
        """Whether anything is off: a customer at list price sees no column of zeros."""
        return any(line.off(self.currency) for line in self.lines)

    @property
    def totals(self) -> tuple[tuple[str, Decimal], ...]:
        """What stands under the lines, in order: the label and the amount."""
        sums = self.sums
        # As the lines stand: price times count, and all that comes off it, breaks for the quantity included.
        off = sum((line.off(self.currency) or Decimal(0) for line in self.lines), Decimal(0))
        rows = [(_("Goods"), sums.goods - sums.discount + off)]
        if off:
            rows.append((_("Discount"), -off))
        rows += [
            (_("Freight ({how})").format(how=self.freight_words), sums.freight),
            (_("Sales tax ({how})").format(how=self.tax_words), sums.tax),
            (self.total_label, sums.total),
        ]
        if sums.deposit:
            rows.append((_("To pay when you accept"), sums.deposit))
        return tuple(rows)

    @property
    def total_label(self) -> str:
        if self.to_come:
            return _("Total so far, without {lacking}").format(lacking=", ".join(self.to_come))
        return _("Total")


def show_amount(amount: Decimal | None, currency: str, code: bool = False) -> str:
    """1,234.50, or 1,234.50 USD (code); what has no price yet says so."""
    if amount is None:
        return _("to come")
    shown = f"{amount:,.{minor_units(currency)}f}"
    return f"{shown} {currency}" if code else shown


def show_price(price: Decimal | None, currency: str) -> str:
    """A unit price, which may be finer than the currency's minor unit: 0.0349."""
    if price is None:
        return _("to come")
    digits = max(minor_units(currency), -price.normalize().as_tuple().exponent)
    return f"{price:,.{digits}f}"


def to_plain(document: Document) -> dict[str, Any]:
    """The document as JSON holds it: amounts and dates as texts, each drawing as its shapes."""
    plain = asdict(document)
    plain["openings"] = [opening_to_plain(opening) for opening in document.openings]
    return _texts(plain)


def opening_to_plain(opening: OpeningSheet) -> dict[str, Any]:
    """One opening as JSON holds it, its drawing as its shapes."""
    drawing = opening.drawing
    plain = asdict(opening)
    plain["drawing"] = [
        round(drawing.width, 1),
        round(drawing.height, 1),
        drawing.title,
        drawing.description,
        [_plain_shape(shape) for shape in drawing.shapes],
    ]
    return _texts(plain)


def _plain_shape(shape: shapes.Shape) -> list[Any]:
    values = [round(v, 1) if isinstance(v, float) else v for v in astuple(shape)]
    return [type(shape).__name__, *values]


def _texts(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _texts(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_texts(item) for item in value]
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def with_openings_to_make(plain: dict[str, Any], english: Document) -> dict[str, Any]:
    """The plain document of another language with its openings in English beside it, for the factory."""
    return plain | {TO_MAKE: [opening_to_plain(opening) for opening in english.openings]}


def openings_to_make(plain: Mapping[str, Any]) -> tuple[OpeningSheet, ...]:
    """The openings of a plain document as a factory is shown them: in English."""
    return tuple(opening_from_plain(sheet) for sheet in plain.get(TO_MAKE, plain["openings"]))


def from_plain(plain: Mapping[str, Any]) -> Document:
    """The document again, equal to the one `to_plain` was given (a drawing to 0.1 point)."""
    made = {name: value for name, value in plain.items() if name != TO_MAKE}
    made["issued_on"], made["valid_until"] = _date(plain["issued_on"]), _date(plain["valid_until"])
    made["lines"] = tuple(_line(line) for line in plain["lines"])
    made["openings"] = tuple(opening_from_plain(sheet) for sheet in plain["openings"])
    made["sums"] = Sums(**{name: Decimal(text) for name, text in plain["sums"].items()})
    for name in ("cautions", "how_to"):
        made[name] = tuple((title, text) for title, text in plain.get(name, ()))
    for name in ("shop", "customer", "ship_to", "notices", "to_come"):
        made[name] = tuple(plain.get(name, ()))
    return Document(**made)


def _date(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _line(plain: Mapping[str, Any]) -> LineRow:
    amounts = ("unit_price", "break_percent", "discount", "net", "tax", "total")
    read = {name: None if plain[name] is None else Decimal(plain[name]) for name in amounts}
    return LineRow(**{**plain, **read, "openings": tuple(plain["openings"])})


def opening_from_plain(plain: Mapping[str, Any]) -> OpeningSheet:
    """The opening again, equal to the one `opening_to_plain` was given (its drawing to 0.1 point)."""
    width, height, title, description, drawn = plain["drawing"]
    pieces = tuple(getattr(shapes, kind)(*values) for kind, *values in drawn)
    return OpeningSheet(
        **{
            **plain,
            "measures": tuple(MeasureLine(**measure) for measure in plain["measures"]),
            "cautions": tuple(plain["cautions"]),
            "drawing": Drawing(width, height, title, description, pieces),
        }
    )

"""What narrows each list of the orders' side, as fields of its address."""

from __future__ import annotations

from django.forms import ChoiceField

from ordering.attention import Need
from ordering.models import JudgedMonth
from quotes.find_forms import OfCustomerFind
from sizing.find_fields import (
    Find,
    choice_field,
    day_field,
    family_field,
    person_field,
    words_field,
)
from sizing.models import Factory
from sizing.remembered import remembered

NEEDS = {
    Need.UNSENT: "not sent yet",
    Need.NO_DATE: "no date given",
    Need.LATE_RISK: "late or about to be",
    Need.NO_ANSWER: "factory has not answered",
    Need.SILENT: "factory is silent",
    Need.CALL: "to call",
    Need.MAIL_FAILS: "mail that fails",
    Need.NEEDED: "needed sooner",
    Need.ON_ITS_WAY: "left and not come",
    Need.ASKS: "factory asks",
    Need.REFUSED: "factory can't make it",
}


@remembered(Factory)
def _factories() -> list[tuple[int, str]]:
    return list(Factory.objects.order_by("name").values_list("pk", "name"))


def factory_field() -> ChoiceField:
    return choice_field("Factory", _factories)


class OrdersFind(OfCustomerFind):
    q = words_field(
        "Find by number, name, phone, e-mail, street, town, part or quote", accesskey="f"
    )
    stands = choice_field(
        "Stands",
        [("open", "open"), ("closed", "closed"), ("all", "all")],
        "open, or all found",
    )
    family = family_field()
    by = person_field("Placed by")
    since, until = day_field("Placed from"), day_field("to")


class FactoryOrdersFind(Find):
    stands = choice_field(
        "Stands",
        [("unanswered", "not answered"), ("there", "lines still there"), ("done", "all has left")],
    )
    factory = factory_field()
    since, until = day_field("Sent from"), day_field("to")


class WatchFind(Find):
    need = choice_field("What", [(int(need), words) for need, words in NEEDS.items()])
    factory = factory_field()


@remembered(JudgedMonth)
def _months() -> list[tuple[str, str]]:
    months = JudgedMonth.objects.dates("month", "month")
    return [(f"{month:%Y-%m}", f"{month:%b %Y}") for month in months]


def month_field(label: str) -> ChoiceField:
    """A month of those that the desk's record has."""
    return choice_field(label, _months)


class RecordFind(Find):
    factory = factory_field()
    since, until = month_field("Told from"), month_field("to")


class WhenFind(Find):
    q = words_field(
        "Order, quote or factory order number, name, phone, e-mail, street, town, part number, the call's note",
        accesskey="f",
    )


class LinesToSendFind(Find):
    factory = factory_field()

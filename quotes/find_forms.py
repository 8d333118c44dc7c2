"""What narrows each list of this side of the desk, as fields of its address."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.forms import BoundField

from quotes.lists.issue_states import STATES
from quotes.lists.specials import OVERDUE
from quotes.measuring import SENT_BY
from quotes.models import Customer, Integration, Special
from sizing.find_fields import (
    Find,
    choice_field,
    day_field,
    family_field,
    person_field,
    words_field,
)
from sizing.numerals import whole_number
from sizing.remembered import remembered
from sizing.roles import ROLES


@remembered(Integration)
def _programs() -> list[tuple[str, str]]:
    signed = [program.signature for program in Integration.objects.order_by("name")]
    return list(zip(signed, signed, strict=True))


def _sent_in() -> list[tuple[str, str]]:
    """What reaches the desk without somebody at it: from customers' own measuring and from programs."""
    return [(SENT_BY, SENT_BY), *_programs()]


class OfCustomerFind(Find):
    """A list that a customer's own page narrows to what is theirs; without being asked so it has no such box."""

    customer = choice_field("Customer", [], "anybody")

    def __init__(self, data: Mapping[str, Any]) -> None:
        super().__init__(data)
        asked = whole_number(data.get("customer", ""), 12)
        for theirs in Customer.objects.filter(pk=asked).only("name") if asked else ():
            self.fields["customer"].choices += [(str(theirs.pk), theirs.name)]

    @property
    def others(self) -> list[BoundField]:
        asked = self.data.get("customer")
        return [box for box in super().others if asked or box.name != "customer"]


class RequestsFind(OfCustomerFind):
    q = words_field("Find by name, phone, e-mail, window or number", accesskey="f")
    stands = choice_field(
        "Stands",
        [
            ("unquoted", "no quote yet"),
            ("quoted", "quoted"),
            ("ask", "a question is open"),
            ("special", "a special is in it"),
            ("error", "something is not read"),
            ("aside", "nothing came of it"),
        ],
    )
    family = family_field()
    by = person_field("Taken by", _sent_in)
    since, until = day_field("Taken from"), day_field("to")


class QuotesFind(OfCustomerFind):
    q = words_field(
        "Find by number, customer, phone, e-mail, town, part or the call's note", accesskey="f"
    )
    stands = choice_field("Stands", [(word, word) for word in STATES])
    family = family_field()
    by = person_field("Begun by", _programs)
    since, until = day_field("Begun from"), day_field("to")


class CustomersFind(Find):
    q = words_field("Find by any scrap of name, phone, e-mail, street or town", accesskey="f")
    kind = choice_field("Kind", Customer.Kind.choices)


class SpecialsFind(Find):
    q = words_field("Find by caller, what it is or request", accesskey="f")
    state = choice_field("Stands", [*Special.State.choices, (OVERDUE, "answer overdue")])
    family = family_field()
    since, until = day_field("Since"), day_field("to")


class SchedulesFind(Find):
    q = words_field("Find by workbook or sender", accesskey="f")
    family = family_field()
    since, until = day_field("Brought in from"), day_field("to")


class PeopleFind(Find):
    role = choice_field("Role", [(role, role) for role in ROLES])
    sign_in = choice_field("Sign-in", [("on", "on"), ("off", "off")])


class ProgramsFind(Find):
    key = choice_field("Key", [("on", "on"), ("off", "off")])


class PricesFind(Find):
    on = day_field("In force on")

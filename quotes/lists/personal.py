"""All that quotes hold of one customer, as plain rows: for whoever asks what is kept of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.db import models

from quotes.desk.erasing import everyone_in, requests_of
from quotes.models import (
    Acceptance,
    ChangeAsked,
    Customer,
    Enquiry,
    FactoryQuestion,
    Issue,
    Letter,
    Opening,
    QuoteLine,
    Schedule,
    ScheduleLine,
    Special,
    SpecialEvent,
)

Section = tuple[str, list[dict[str, Any]]]
# What only the desk's own machinery needs: keys of links, pages, search words.
LEFT_OUT = frozenset(
    {"nonce", "token_hash", "page", "scraps", "phone_digits", "content", "message_id"}
)


def rows(found: Iterable[models.Model]) -> list[dict[str, Any]]:
    """Each row's fields by their names, links to other rows as those rows' numbers."""
    return [
        {
            field.attname: field.value_from_object(row)
            for field in row._meta.concrete_fields
            if field.name not in LEFT_OUT
        }
        for row in found
    ]


def held_of(customer: Customer) -> Iterator[Section]:
    """Sections in the order in which things came about."""
    asked = requests_of(customer).order_by("pk")
    schedules = Schedule.objects.filter(request__in=asked)
    issues = Issue.objects.filter(quote__customer=customer)
    specials = Special.objects.filter(request__in=asked)
    letters = Letter.objects.filter(issue__in=issues) | Letter.objects.filter(special__in=specials)
    found: tuple[tuple[str, Iterable[models.Model]], ...] = (
        ("customer", everyone_in(customer)),
        ("contacts", customer.contacts.all()),
        ("addresses", customer.addresses.all()),
        ("merged customers", customer.merges.all()),
        ("requests", asked),
        ("windows asked about", Opening.objects.filter(request__in=asked)),
        ("schedules", schedules),
        ("lines of schedules", ScheduleLine.objects.filter(schedule__in=schedules)),
        ("specials", specials),
        ("history of specials", SpecialEvent.objects.filter(special__in=specials)),
        ("enquiries to factories", Enquiry.objects.filter(special__in=specials)),
        ("questions of factories", FactoryQuestion.objects.filter(enquiry__special__in=specials)),
        ("quotes", customer.quotes.all()),
        ("issues of quotes", issues),
        ("lines of quotes", QuoteLine.objects.filter(issue__in=issues)),
        ("acceptances", Acceptance.objects.filter(issue__in=issues)),
        ("changes asked for", ChangeAsked.objects.filter(issue__in=issues)),
        ("letters", letters),
    )
    for words, kept in found:
        yield words, rows(kept)

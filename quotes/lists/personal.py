"""All that quotes hold of one customer, as plain rows: for whoever asks what is kept of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.db import models
from django.db.models import Q, QuerySet

from quotes.models import (
    Acceptance,
    ChangeAsked,
    Customer,
    Enquiry,
    FactoryQuestion,
    Issue,
    Letter,
    Opening,
    Quote,
    QuoteLine,
    Request,
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


def everyone_in(customer: Customer) -> QuerySet[Customer]:
    """The customer with all who were merged into them."""
    return Customer.objects.filter(Q(pk=customer.pk) | Q(merged_into=customer))


def requests_of(customer: Customer) -> QuerySet[Request]:
    """Their requests: quoted for them, known as theirs, or from their e-mail or phone and nobody else's."""
    same = Q(quotes__customer=customer) | Q(customer=customer)
    for contact in customer.contacts.all():
        if contact.email:
            same |= Q(email__iexact=contact.email)
        if contact.phone:
            same |= Q(phone=contact.phone)
    others = Quote.objects.exclude(customer=customer).exclude(request=None).values("request")
    chosen = Q(customer=None) | Q(customer=customer)
    return Request.objects.filter(same).filter(chosen).exclude(pk__in=others).distinct()


def words_of(customer: Customer) -> Iterable[str]:
    """Every name, number and street that this customer is known by."""
    for one in everyone_in(customer):
        yield one.name
    for merge in customer.merges.all():
        yield merge.gone.get("name", "")
    for contact in customer.contacts.all():
        yield from (contact.name, contact.phone, contact.email)
    for address in customer.addresses.all():
        yield from (address.street, address.label, address.postcode)
    for request in requests_of(customer):
        yield from (request.caller, request.phone, request.email)
    yield from Acceptance.objects.filter(quote__customer=customer).values_list("name", flat=True)


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

"""Reads customers: found by any scrap, and their likely doubles."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q, QuerySet

from quotes.models import Contact, Customer
from quotes.scraps import likeness, plain, wanted
from quotes.searched import holding

# Names this much alike are offered as one; the desk's own choice.
ALIKE = 0.75


@dataclass(frozen=True)
class Double:
    """A customer who may be the same one, and why, in words."""

    customer: Customer
    why: str


def find_customers(scrap: str = "") -> QuerySet[Customer]:
    """Customers that hold every word of the scrap: name, contact, phone, e-mail, street, town."""
    found = Customer.objects.filter(merged_into=None).prefetch_related("contacts", "addresses")
    for choices in wanted(scrap):
        any_of = Q()
        for choice in choices:
            any_of |= holding(Customer, choice)
        found = found.filter(any_of)
    return found


def likely_doubles(customer: Customer) -> list[Double]:
    """Other customers with the same phone or e-mail, or nearly the same name; the likeliest first."""
    contacts = list(customer.contacts.all())
    phones = {c.dialled for c in contacts if c.dialled}
    mails = {plain(c.email) for c in contacts if c.email}
    found: dict[int, Double] = {}
    others = Contact.objects.exclude(customer=customer).filter(customer__merged_into=None)
    same = Q(dialled__in=phones)
    for mail in mails:
        same |= Q(email__iexact=mail)
    for contact in others.filter(same).select_related("customer"):
        why = "same phone" if contact.dialled in phones else "same e-mail"
        found.setdefault(contact.customer_id, Double(contact.customer, why))
    first = plain(customer.name)[:1]
    named = Customer.objects.filter(merged_into=None, scraps__startswith=first)
    for other in named.exclude(pk=customer.pk).only("id", "name"):
        if other.pk not in found and likeness(customer.name, other.name) >= ALIKE:
            found[other.pk] = Double(other, "nearly the same name")
    return list(found.values())[:10]

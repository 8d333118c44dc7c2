"""Reads customers: found by any scrap, and their likely doubles."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from quotes.lists.shop import home_country
from quotes.models import Address, Contact, Customer, Request
from quotes.scraps import dialled, likeness, outlines, plain, wanted
from quotes.searched import few_holding, holding_all, keys_holding
from sizing.standing import KEYS, StandingQuestion, at_once

# Names this much alike are offered as one; the desk's own choice.
ALIKE = 0.75
# A word this much like one of a name is offered where nobody holds it: "Winslw" for "Winslow".
NEARLY = 0.66
MOST_SHARING = 200
MOST_DOUBLES = 10


@dataclass(frozen=True)
class Double:
    """A customer who may be the same one, and why, in words."""

    customer: Customer
    why: str


def find_customers(scrap: str = "") -> QuerySet[Customer]:
    """Customers that hold every word of the scrap: name, contact, phone, e-mail, street, town."""
    return holding_all(Customer.objects.filter(merged_into=None), wanted(scrap))


_CONTACTS = StandingQuestion(
    Contact.objects.filter(customer__pk__among=KEYS)
    .order_by("pk")
    .values_list("customer", "name", "phone", "email")
)
_TOWNS = StandingQuestion(
    Address.objects.filter(customer__pk__among=KEYS).order_by("pk").values_list("customer", "town")
)


def with_reach(customers: list[Customer]) -> list[Customer]:
    """The customers with their contacts as (name, phone, e-mail) and the towns of their addresses."""
    reached, towns = defaultdict(list), defaultdict(list)
    keys = [customer.pk for customer in customers]
    for key, *said in _CONTACTS(keys=keys):
        reached[key].append(said)
    for key, town in _TOWNS(keys=keys):
        towns[key].append(town)
    for customer in customers:
        customer.reached, customer.towns = reached[customer.pk], towns[customer.pk]
    return customers


def as_caller(key: int) -> dict[str, str]:
    """{box of a new call: what stands in it} for a customer: their first contact, else their name alone."""
    customer = Customer.objects.filter(pk=key, merged_into=None).first()
    if customer is None:
        return {}
    said = {"caller": customer.name, "language": customer.language}
    contact = customer.contacts.order_by("pk").first()
    if contact:
        said |= {"phone": contact.phone, "email": contact.email}
        said["caller"] = contact.name or customer.name
    return said


def contacts_reached_by(mails: Iterable[str], phones: Iterable[str]) -> QuerySet[Contact]:
    """Contacts with one of these e-mails, capital or small, or one of these phones (E.164)."""
    same = Q(dialled__in=list(filter(None, phones)))
    for mail in filter(None, mails):
        # By what their customer is found by: no index of every database knows capital from small.
        keys = keys_holding(Customer, plain(mail))
        same |= Q(email__iexact=mail) & (Q() if keys is None else Q(customer__in=keys))
    return Contact.objects.filter(same)


def likely_doubles(customer: Customer) -> list[Double]:
    """Other customers with the same phone or e-mail, or nearly the same name; the likeliest first."""
    contacts = list(customer.contacts.all())
    phones = {c.dialled for c in contacts if c.dialled}
    found = _alike(customer.name, [c.email for c in contacts], phones)
    return [double for key, double in found.items() if key != customer.pk][:MOST_DOUBLES]


def likely_callers(request: Request) -> list[Double]:
    """Customers that a caller whom nothing tells for certain may be; the likeliest first."""
    if not (request.caller or request.phone or request.email):
        return []
    phone = dialled(request.phone, home_country())
    found = _alike(request.caller, [request.email], {phone} if phone else set())
    return list(found.values())[:MOST_DOUBLES]


def _alike(name: str, mails: Iterable[str], phones: set[str]) -> dict[int, Double]:
    """Customers with one of these phones or e-mails, or nearly this name, by their key."""
    found: dict[int, Double] = {}
    reached = contacts_reached_by(mails, phones).filter(customer__merged_into=None)
    for contact in reached.select_related("customer"):
        why = "same phone" if contact.dialled in phones else "same e-mail"
        found.setdefault(contact.customer_id, Double(contact.customer, why))
    near = _holding_any(outlines(name)) - found.keys()
    like = {key for key, other in at_once(_NAMES(keys=near)) if likeness(name, other) >= ALIKE}
    for other in Customer.objects.filter(pk__among=like):
        found[other.pk] = Double(other, "nearly the same name")
    return found


def _holding_any(pieces: Iterable[tuple[str, ...]]) -> set[int]:
    """The keys of customers that hold all of one of these; what so many share tells nobody from anybody."""
    sharing = (few_holding(Customer, MOST_SHARING, *together) for together in dict.fromkeys(pieces))
    return set().union(*filter(None, sharing))


# Without those that are part of another customer now.
_NAMES = StandingQuestion(
    Customer.objects.filter(pk__among=KEYS, merged_into=None).order_by().values_list("pk", "name")
)


def nearly(scrap: str) -> list[Customer]:
    """Customers of whose name, or a contact's, every word of a scrap that nobody holds is nearly one."""
    asked = [word for word in plain(scrap).split() if len(word) >= 3]
    # A number or a mail is no name.
    if any(letter.isdigit() or letter == "@" for word in asked for letter in word):
        return []
    # A name may be off in its beginning or in its end; only where nobody shares two of its pieces one is enough.
    ends = [(end,) for word in asked for end in (word[:3], word[-3:])]
    for pieces in (outlines(scrap), ends) if asked else ():
        found = _likest(asked, _holding_any(pieces))
        if found:
            return found
    return []


def _likest(asked: list[str], near: set[int]) -> list[Customer]:
    """Of these customers those of whose name, or a contact's, every word asked for is nearly one."""
    # Hundreds may share a piece of a name, so their names alone are read.
    names = at_once(_NAMES(keys=near))
    contacts = Contact.objects.filter(customer__pk__among={key for key, _name in names}).order_by()
    words = defaultdict(set)
    for key, name in [*names, *at_once(contacts.values_list("customer", "name"))]:
        words[key].update(plain(name).split())
    like = {
        key
        for key, own in words.items()
        if all(any(likeness(word, one) >= NEARLY for one in own) for word in asked)
    }
    return list(Customer.objects.filter(pk__among=like).order_by("name")[:MOST_DOUBLES])

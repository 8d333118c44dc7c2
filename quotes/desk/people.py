"""Writes customers, contacts and addresses; merges doubles with nothing lost. One transaction each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.forms.models import model_to_dict

from quotes import worklist
from quotes.desk.holding import hold, hold_one, refuse_erased
from quotes.letters.addressed import unnamed
from quotes.lists.people import contacts_reached_by
from quotes.lists.shop import home_country, the_shop
from quotes.models import Acceptance, Address, Contact, Customer, Letter, Merge, Quote, Request
from quotes.scraps import dialled, plain, scraps_of

_HEAD = (
    "name", "kind", "terms", "unit", "channel", "language", "exemption_number", "exemption_expires",
    "note",
)  # fmt: skip


class MergeError(ValueError):
    """Two customers that cannot be merged: one sentence."""


@transaction.atomic
def save_customer(
    customer: Customer,
    contacts: Sequence[Contact] = (),
    addresses: Sequence[Address] = (),
    gone: Sequence[Contact | Address] = (),
) -> Customer:
    """Store a customer with the contacts and addresses given; others stay unless they are `gone`.

    Raises ErasedError: a page read before an erasure would bring back what it took.
    """
    if customer.pk:
        hold_one(Customer.objects.filter(pk=customer.pk))
        refuse_erased(customer.pk)
    customer.save()
    for row in gone:
        row.delete()
    for address in addresses:
        address.customer = customer
        address.save()
    country = customer.addresses.values_list("country", flat=True).first()
    country = country or home_country()
    for contact in contacts:
        contact.customer = customer
        contact.dialled = dialled(contact.phone, country)
        contact.save()
    _note_scraps(customer)
    return customer


def _note_scraps(customer: Customer) -> None:
    texts = [customer.name, customer.exemption_number]
    texts += [merge.gone["name"] for merge in customer.merges.all()]
    phones = []
    texts += Letter.objects.filter(issue__quote__customer=customer).values_list("to", flat=True)
    for contact in customer.contacts.all():
        texts += [contact.name, contact.email]
        phones.append((contact.phone, contact.dialled))
    for address in customer.addresses.all():
        texts += [address.label, address.street, address.town, address.postcode]
    customer.scraps = scraps_of(texts, phones)
    customer.save(update_fields=["scraps"])


def note_written_to(letter: Letter) -> None:
    """Let whoever a quote's letter goes to be found by its address, which may be none of their contacts' and may
    be mistyped. Inside a transaction.
    """
    customer = hold_one(Customer.objects.filter(quotes__issues=letter.issue))
    if plain(letter.to) not in customer.scraps.splitlines():
        _note_scraps(customer)


@transaction.atomic
def customer_for(request: Request) -> Customer:
    """The customer a request's caller is: whose call it is, the one with that e-mail or phone, else a new one.

    A shared number is not enough when the name is another: then a new customer is made, and the
    page of customers offers the two as likely doubles.
    """
    known = [request.customer] if request.customer else _same_contact(request)
    return _as_it_is(known[0]) if known else _new_customer(request)


def _as_it_is(customer: Customer) -> Customer:
    """The customer, held, or who they were merged into a moment ago. Inside a transaction."""
    held = hold_one(Customer.objects.filter(pk=customer.pk))
    return _as_it_is(held.merged_into) if held.merged_into else held


def _new_customer(request: Request) -> Customer:
    shop = the_shop()
    contact = Contact(name=request.caller, phone=request.phone, email=request.email)
    customer = Customer(name=called(request), unit=shop.unit, language=request.speaks)
    return save_customer(customer, [contact])


def called(request: Request) -> str:
    """What a caller is called, by name or by what else is known of them."""
    return request.caller or request.email or request.phone or unnamed(request.pk)


def is_unnamed(request: Request) -> bool:
    """Whether its customer was quoted before anybody asked their name."""
    return not request.caller and bool(
        request.customer and request.customer.name == called(request)
    )


def name_customer(request: Request) -> None:
    """Who was unnamed is called, and reached, as the request now says. Inside a transaction."""
    contact = request.customer.contacts.first() or Contact()
    contact.name = contact.name or request.caller
    contact.phone, contact.email = contact.phone or request.phone, contact.email or request.email
    request.customer.name = called(request)
    save_customer(request.customer, [contact])


def _same_contact(request: Request) -> list[Customer]:
    """Customers with that e-mail or phone whose name is not another one, each once, the oldest contact first."""
    phone = dialled(request.phone, home_country())
    same = contacts_reached_by([request.email], [phone])
    found = {}
    for contact in same.select_related("customer").order_by("id"):
        names = {plain(contact.name), plain(contact.customer.name)}
        if not request.caller or plain(request.caller) in names:
            found.setdefault(contact.customer_id, contact.customer)
    return list(found.values())


def known_customer(request: Request) -> Customer | None:
    """The one customer the caller can be by e-mail or phone; None of several."""
    found = _same_contact(request)
    return found[0] if len(found) == 1 else None


@transaction.atomic
def choose_customer(
    request_pk: int, customer_pk: int | None, by: str, *, is_new: bool = False
) -> Request:
    """Say whose call it is, for good: a customer's, or somebody's who `is_new` and becomes one now.

    With neither it is worked out from e-mail and phone again. Raises ErasedError.
    """
    request = Request.objects.select_for_update().get(pk=request_pk)
    refuse_erased(request.customer_id)
    if is_new:
        request.customer, request.customer_chosen_by = _new_customer(request), by
    elif customer_pk is None:
        request.customer, request.customer_chosen_by = known_customer(request), ""
    else:
        request.customer = _as_it_is(Customer.objects.get(pk=customer_pk, merged_into=None))
        refuse_erased(request.customer_id)
        request.customer_chosen_by = by
    request.save(update_fields=["customer", "customer_chosen_by"])
    worklist.note(request.pk)
    return request


@transaction.atomic
def merge_customers(kept_pk: int, gone_pk: int, by: str) -> Customer:
    """Put one customer into another: contacts, addresses, quotes and earlier merges move over.

    What the kept one lacks is taken from the other; where both say something else, the other's word
    is added to the note. The other stays, empty, pointing to the kept one. Raises MergeError.
    """
    if kept_pk == gone_pk:
        raise MergeError("A customer cannot be merged with itself: choose another one.")
    hold(Request.objects.filter(customer=gone_pk))
    hold(Quote.objects.filter(customer=gone_pk))
    # An order that is made of one meanwhile is there before they are merged, or made for the one that is kept.
    hold(Acceptance.objects.filter(quote__customer=gone_pk))
    rows = {c.pk: c for c in hold(Customer.objects.filter(pk__in=[kept_pk, gone_pk]))}
    if len(rows) < 2:
        raise MergeError("One of the two customers is no longer there: look for it again.")
    kept, gone = rows[kept_pk], rows[gone_pk]
    for one in (kept, gone):
        if one.merged_into_id:
            raise MergeError(f"{one.name} was already merged into {one.merged_into}.")
        refuse_erased(one.pk, MergeError)
    Merge.objects.create(kept=kept, gone=_picture(gone), by=by)
    _take_over(kept, gone)
    _move_contacts(kept, gone)
    Address.objects.filter(customer=gone).update(customer=kept)
    Quote.objects.filter(customer=gone).update(customer=kept)
    Request.objects.filter(customer=gone).update(customer=kept)
    Merge.objects.filter(kept=gone).update(kept=kept)
    Customer.objects.filter(merged_into=gone).update(merged_into=kept)
    gone.merged_into, gone.scraps = kept, ""
    gone.save(update_fields=["merged_into", "scraps"])
    kept.save()
    _note_scraps(kept)
    return kept


def _move_contacts(kept: Customer, gone: Customer) -> None:
    """The gone one's contacts, without those that the kept one has to the letter."""

    def said(contact: Contact) -> tuple[str, ...]:
        return (contact.name, contact.role, contact.phone, contact.email)

    there = {said(contact) for contact in kept.contacts.all()}
    for contact in gone.contacts.all():
        if said(contact) in there:
            contact.delete()
    gone.contacts.update(customer=kept)


def _take_over(kept: Customer, gone: Customer) -> None:
    """Fill the kept one's gaps; what differs goes into its note, in words."""
    differing = []
    for name in _HEAD:
        ours, theirs = getattr(kept, name), getattr(gone, name)
        if name == "note":
            continue
        if not ours and theirs:
            setattr(kept, name, theirs)
        elif theirs and theirs != ours:
            field = Customer._meta.get_field(name)
            differing.append(f"{field.verbose_name}: {theirs}")
    notes = [kept.note, gone.note]
    if differing:
        notes.append(f"From {gone.name}, merged: " + "; ".join(differing) + ".")
    kept.note = "\n".join(note for note in notes if note)


def _picture(customer: Customer) -> Mapping[str, Any]:
    """The customer as it was, as plain data."""

    def row(instance: Any) -> dict[str, Any]:
        return {
            k: v if isinstance(v, int) else str(v or "") for k, v in model_to_dict(instance).items()
        }

    return row(customer) | {
        "id": customer.pk,
        "contacts": [row(c) for c in customer.contacts.all()],
        "addresses": [row(a) for a in customer.addresses.all()],
    }

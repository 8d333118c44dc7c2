"""What happened to a special, and the letters about it to the customer: priced, or not to be made."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from quotes import worklist
from quotes.counted import counted
from quotes.desk.posting import post
from quotes.documents.content import show_price
from quotes.documents.naming import name_of
from quotes.letters.customer import priced_letter
from quotes.lists.shop import the_shop
from quotes.models import Quote, Special, SpecialEvent
from sizing.wording import speaking

State = Special.State
TOLD = ("customer told", "customer to be called")


def note(special: Special, by: str, what: str, why: str = "") -> None:
    """What happened to a special, said once it is stored."""
    note_all([(special, what, why)], by)


def note_all(happened: Iterable[tuple[Special, str, str]], by: str) -> None:
    """The same of several, as (special, what, why)."""
    events = [
        SpecialEvent(special=special, by=by[:150], what=what, why=why)
        for special, what, why in happened
    ]
    SpecialEvent.objects.bulk_create(events)
    worklist.note(*{event.special.request_id for event in events})


def tell_priced(request_pk: int, by: str) -> None:
    """One letter a quote about all that was priced and not told, as soon as no answer of the factory
    to this request waits for our price. What has gone out with an issued quote is told by it."""
    specials = Special.objects.filter(request=request_pk)
    if specials.filter(state__in=(State.ANSWERED, State.TO_CHECK)).exists():
        return
    untold = (
        specials.filter(state=State.QUOTED, line__issue__issued_at=None)
        .exclude(line__unit_price=None)
        .exclude(opening=None)
        .exclude(events__what__in=TOLD)
        .select_related("request", "opening", "revision", "line__issue__quote__customer")
        .order_by("line__issue__quote", "pk")
    )
    for quote, priced in groupby(untold, lambda special: special.line.issue.quote):
        _tell(quote, list(priced), by)


def _tell(quote: Quote, priced: list[Special], by: str) -> None:
    with speaking(quote.customer.language):
        subject, body = priced_letter(
            priced[0].request.caller,
            the_shop().lines,
            [
                (
                    f"{name_of(special.opening)}, {counted(special.quantity, special.revision.sold_as)}",
                    f"{show_price(special.line.unit_price, quote.currency)} {quote.currency}",
                    special.revision.sold_as,
                    special.enquiry.lead_words,
                )
                for special in priced
            ],
            quote.number,
        )
    write_customer(priced, f"priced in {priced[-1].line.issue}", subject, body, by)


def write_customer(specials: list[Special], what: str, subject: str, body: str, by: str) -> None:
    """One letter about these specials of one request; without an address each says that somebody calls."""
    to, last = _address(specials[-1]), specials[-1]
    if to:
        cause = f"special {last.pk} {what} {last.events.count()}"
        post(cause=cause, to=to, subject=subject, body=body, by=by, special=last)
    for special in specials:
        if to:
            note(special, by, "customer told", to)
        else:
            note(special, by, "customer to be called", "there is no e-mail for the customer")


def _address(special: Special) -> str:
    """Where the customer reads mail: as said in the request, or as the quote's customer has it."""
    if special.request.email:
        return special.request.email
    quote = special.request.quotes.select_related("customer").first()
    contacts = quote.customer.contacts.exclude(email="") if quote else ()
    return next((contact.email for contact in contacts), "")

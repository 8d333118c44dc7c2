"""Reads the letter that a factory's link opens: all that it asked, and how each of it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum

from django.db.models import Exists, OuterRef, Q, QuerySet

from quotes.models import Enquiry, FactoryQuestion, Special
from quotes.worklist import changed_since

State = Special.State
ANSWERABLE = (State.ASKED, State.ANSWERED, State.REFUSED)


class Standing(StrEnum):
    OPEN = "to answer"
    ANSWERED = "answered"
    ASKED_ANEW = "asked anew"
    CHANGED = "changed"
    TAKEN_OUT = "not needed any more"
    SETTLED = "settled"


# What a contact may still answer or correct.
TAKES_ANSWERS = (Standing.OPEN, Standing.ANSWERED)


def letter_of(enquiry: Enquiry) -> list[Enquiry]:
    """All that went in its letter, with what `standing` looks at."""
    return list(enquiry.in_one_letter().select_related("special__opening", "factory"))


def standing(enquiry: Enquiry) -> Standing:
    special = enquiry.special
    if enquiry.closed_at:
        # Closed while the factory still has it: by a later letter.
        return Standing.ASKED_ANEW if special.state in ANSWERABLE else Standing.SETTLED
    if special.state not in ANSWERABLE:
        return Standing.SETTLED
    if special.opening_id is None and special.part_id is None:
        return Standing.TAKEN_OUT
    if changed_since(special):
        return Standing.CHANGED
    return Standing.ANSWERED if enquiry.answered_at else Standing.OPEN


def questions_waiting() -> QuerySet[FactoryQuestion]:
    """What factories ask and nobody has answered, as long as there is anything to answer in their letter."""
    open_ones = Enquiry.objects.filter(closed_at=None)
    letter = Q(pk=OuterRef("enquiry")) | Q(asked_with=OuterRef("enquiry"))
    return FactoryQuestion.objects.filter(Exists(open_ones.filter(letter)), done_at=None)


def thing_of(letter: Sequence[Enquiry]) -> str:
    """What `why_closed` calls a part of this letter."""
    return "one" if len(letter) > 1 else "enquiry"


def why_closed(how: Standing, shop: str, thing: str) -> str:
    """What a contact reads where no answer is taken."""
    return {
        Standing.ASKED_ANEW: f"We have asked about this {thing} anew since: please answer by the later letter.",
        Standing.CHANGED: "Its measures have changed since we asked. There is nothing to answer here; "
        "we write to you again.",
        Standing.TAKEN_OUT: "It is not needed any more: there is nothing to answer.",
        Standing.SETTLED: f"The desk has settled this {thing}. If something has changed, please call "
        f"or write to {shop}.",
    }[how]


def astray() -> Iterator[str]:
    """For `manage.py verify`: what stands in a letter about another request, or to another factory."""
    others = Enquiry.objects.exclude(asked_with=None).select_related(
        "special", "asked_with__special"
    )
    for enquiry in others:
        first = enquiry.asked_with
        same = enquiry.special.request_id, enquiry.factory_id, enquiry.number
        if first is None or (first.special.request_id, first.factory_id, first.number) != same:
            yield f"The enquiry about {enquiry.special} went in a letter that is not its own: {first}."

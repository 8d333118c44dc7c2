"""Writes what a factory's contact answers to a letter: each opening whole or not at all, any number at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils import timezone
from moneyed import Money

from quotes.days import long_date, short_date
from quotes.desk.requests import labels_of, note_scraps
from quotes.desk.special_letters import note_all, tell_priced
from quotes.lists.letters import TAKES_ANSWERS, letter_of, standing, thing_of, why_closed
from quotes.models import Enquiry, Request, Special

State = Special.State
KEPT = ("can_be_made", "unit_cost", "weeks_min", "weeks_max", "valid_until", "remarks")


@dataclass(frozen=True)
class FactoryAnswer:
    """What a factory's contact says of one opening. Without `can_be_made` only `name` and `remarks` count.

    `seen` is the `stamp` of the answer that its page showed; None: whatever stands may be replaced.
    """

    name: str
    can_be_made: bool
    unit_cost: Money | None = None
    weeks_min: int | None = None
    weeks_max: int | None = None
    valid_until: date | None = None
    remarks: str = ""
    seen: str | None = None

    def kept(self) -> dict[str, object]:
        """What is stored of it."""
        said = {name: getattr(self, name) for name in KEPT}
        if not self.can_be_made:
            said |= {"unit_cost": None, "weeks_min": None, "weeks_max": None, "valid_until": None}
        return said


def stamp(enquiry: Enquiry) -> str:
    """Stands for the answer that an enquiry has; empty for none."""
    return enquiry.answered_at.isoformat() if enquiry.answered_at else ""


@transaction.atomic
def take_answers(of: Enquiry, said: Mapping[int, FactoryAnswer]) -> dict[int, str]:
    """Keep these answers ({enquiry's key: answer}) to a letter; {key: why it was not kept} of the others.

    The same answer sent twice is one.
    """
    request = Request.objects.select_for_update(of=("self",)).get(specials__enquiries=of.pk)
    now, kept, refused = timezone.now(), [], {}
    letter = letter_of(of)
    for enquiry in letter:
        answer = said.get(enquiry.pk)
        if answer is None or _stands(enquiry, answer):
            continue
        why = _why_not(enquiry, answer, thing_of(letter))
        if why:
            refused[enquiry.pk] = why
            continue
        enquiry.answered_at, enquiry.answered_by = now, answer.name
        for name, value in answer.kept().items():
            setattr(enquiry, name, value)
        _settle(enquiry, request)
        kept.append(enquiry)
    if kept:
        _store(kept)
        tell_priced(request.pk, _by(kept[0]))
    return refused


def _stands(enquiry: Enquiry, answer: FactoryAnswer) -> bool:
    """Whether just this was answered already."""
    is_answered = enquiry.answered_at is not None
    return is_answered and all(getattr(enquiry, name) == v for name, v in answer.kept().items())


def _why_not(enquiry: Enquiry, answer: FactoryAnswer, thing: str) -> str:
    how = standing(enquiry)
    if how not in TAKES_ANSWERS:
        return why_closed(how, enquiry.asked().shop[0], thing)
    if answer.seen is not None and answer.seen != stamp(enquiry):
        return (
            f"{enquiry.answered_by} has answered this meanwhile: {answer_in_words(enquiry)}. "
            "Send yours again to put it in the place of that."
        )
    return ""


def _settle(enquiry: Enquiry, request: Request) -> None:
    """What an answer makes of its special. A lead time has nothing to be priced: it is done."""
    special = enquiry.special
    if not enquiry.can_be_made:
        special.state = State.REFUSED
    elif special.wants_price:
        special.state = State.ANSWERED
    else:
        special.state, enquiry.closed_at = State.TOLD, enquiry.answered_at
        _into_request(enquiry, request)


def _store(kept: list[Enquiry]) -> None:
    fields = ["answered_at", "answered_by", "closed_at", "unit_cost_currency", *KEPT]
    Enquiry.objects.bulk_update(kept, fields)
    Special.objects.bulk_update([enquiry.special for enquiry in kept], ["state"])
    happened = (
        (
            enquiry.special,
            "factory answered" if enquiry.can_be_made else "factory can't make it",
            answer_in_words(enquiry),
        )
        for enquiry in kept
    )
    note_all(happened, _by(kept[0]))


def _by(enquiry: Enquiry) -> str:
    return f"{enquiry.answered_by}, {enquiry.factory.name}"


def answer_in_words(enquiry: Enquiry) -> str:
    """131.40 USD per pair; 5 to 6 working weeks; holds until 7 December 2026"""
    words = [
        f"{enquiry.cost_words} per {enquiry.document['unit']}" if enquiry.unit_cost else "",
        enquiry.lead_words,
        f"holds until {long_date(enquiry.valid_until)}" if enquiry.valid_until else "",
        enquiry.remarks,
    ]
    return "; ".join(word for word in words if word)


def _into_request(enquiry: Enquiry, request: Request) -> None:
    """A lead time is read where the caller's numbers are: in the request's note."""
    special, by = enquiry.special, _by(enquiry)
    what = f"{special.quantity} x {special.part.part_number}" if special.part else str(special)
    line = f"{short_date(timezone.localdate())}, {by}: {what}, {answer_in_words(enquiry)}"
    request.note = f"{request.note}\n{line}".strip()
    note_scraps(request, labels_of(request))
    request.version += 1
    request.changed_by = by[:150]
    request.save(update_fields=["note", "scraps", "version", "changed_by", "changed_at"])

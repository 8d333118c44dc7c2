"""Specials come onto the list and go off it: flagged, put aside. One transaction each.

Every change leaves an event: who, when, why. Asking their factories is `desk.enquiries`.
"""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from quotes.desk.holding import hold, refuse_erased
from quotes.desk.special_letters import note, note_all, tell_priced
from quotes.enquiries import special_reason
from quotes.models import Opening, Request, Special
from quotes.worklist import as_said


class EnquiryError(ValueError):
    """What can't be done with a special: one sentence, what and how to mend it."""


@transaction.atomic
def flag(opening_pk: int, *, by: str, words: str = "") -> Special:
    """The opening's open special, made if there is none. A clerk's own flag needs its reason in words. Raises
    EnquiryError."""
    special = _flag(opening_pk, by, words)
    refuse_erased(special.request.customer_id, EnquiryError)
    return special


def _flag(opening_pk: int, by: str, words: str = "") -> Special:
    # The request is what everybody locks, so that two presses make one special, of what is measured by then.
    hold(Request.objects.filter(openings=opening_pk))
    meant = Opening.objects.select_related("request", "revision__family").filter(pk=opening_pk)
    opening = meant.first()
    if opening is None:
        raise EnquiryError(
            "The opening was taken out of its request meanwhile: look at the request."
        )
    special = opening.specials.filter(state__in=Special.OPEN).first()
    if special:
        return special
    overridden = opening.override_part_id is not None
    reason = special_reason(opening.answer, overridden) or "flagged"
    if reason == "flagged" and not words.strip():
        raise EnquiryError(
            "The desk does not call this opening special: say why it needs a special quote all the same."
        )
    special = Special.objects.create(
        request=opening.request,
        opening=opening,
        family=opening.revision.family,
        revision=opening.revision,
        reason=reason,
        words=words.strip(),
        quantity=opening.quantity,
        said=as_said(opening),
        flagged_by=by,
    )
    note(special, by, "flagged", words.strip() or _answer_of(opening))
    return special


def flag_all(openings: list[Opening], by: str) -> list[int]:
    """The keys of a new special for each of these openings of one request."""
    made = Special.objects.bulk_create(
        Special(
            request_id=opening.request_id,
            opening=opening,
            family=opening.family,
            revision=opening.revision,
            reason=special_reason(opening.answer, False) or "flagged",
            quantity=opening.quantity,
            said=as_said(opening),
            flagged_by=by,
        )
        for opening in openings
    )
    note_all(((special, "flagged", _answer_of(special.opening)) for special in made), by)
    return [special.pk for special in made]


def _answer_of(opening: Opening) -> str:
    return opening.answer.get("text", "").removeprefix("Special quote: ")


def locked(special_pk: int) -> Special:
    # Who locks several locks them by the request, so that no two wait for each other.
    Request.objects.select_for_update(of=("self",)).get(specials=special_pk)
    return fetched(special_pk)[0]


def fetched(*pks: int) -> list[Special]:
    """These specials as whoever writes to them needs them, in the order of their openings."""
    found = (
        Special.objects.filter(pk__in=pks)
        .select_related(
            "request", "revision__factory", "revision__family", "part", "opening__part",
            "opening__override_part", "opening__family", "opening__revision__family",
        )
        .prefetch_related("opening__specials")
    )  # fmt: skip
    return sorted(found, key=lambda one: (one.opening.position if one.opening else 0, one.pk))


@transaction.atomic
def close(special_pk: int, *, by: str, why: str) -> Special:
    """Put a special aside for good, with the reason; its link closes."""
    special = locked(special_pk)
    if not why.strip():
        raise EnquiryError("Say why it is put aside: the reason is kept with it.")
    if special.state not in Special.OPEN:
        raise EnquiryError(f"{special} is {special.get_state_display()} already.")
    special.enquiries.filter(closed_at=None).update(closed_at=timezone.now())
    special.state = Special.State.CLOSED
    special.save(update_fields=["state"])
    note(special, by, "closed", why.strip())
    tell_priced(special.request_id, by)
    return special


@transaction.atomic
def put_aside(opening_pk: int, *, by: str, why: str) -> Special:
    """What nobody wants any more before its factory was asked about it: on the list and off it in one act."""
    return close(_flag(opening_pk, by).pk, by=by, why=why)

"""Asks factories about specials and lead times, and reminds them. One transaction each, with its event.

What a factory answers is `desk.factory_answers`, pricing and quoting it `desk.special_prices`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django_tasks import task

from quotes.days import long_date
from quotes.desk.holding import refuse_erased
from quotes.desk.posting import post
from quotes.desk.special_letters import note, note_all, tell_priced
from quotes.desk.specials import EnquiryError, fetched, flag, flag_all, locked
from quotes.documents.naming import describe_part
from quotes.documents.opening_sheets import sheet_to_make
from quotes.enquiries import (
    DAYS_TO_ANSWER,
    LINK_LASTS_DAYS,
    WHY_WE_ASK,
    Asked,
    Asking,
    next_reminder,
)
from quotes.letters.enquiry import enquiry_letter, reminder_letter
from quotes.links import hash_of, new_nonce, token_of
from quotes.lists.letters import ANSWERABLE, Standing, letter_of, standing
from quotes.lists.prices import days_it_answers
from quotes.lists.shop import the_shop
from quotes.lists.specials import waiting
from quotes.models import Enquiry, Request, Special
from quotes.post import LINK
from quotes.worklist import as_said
from sizing.lengths import Unit
from sizing.models import Factory, Part

State = Special.State
ASKABLE = (State.FLAGGED, *ANSWERABLE)
# Nobody answers more on one page.
MOST_IN_A_LETTER = 100


@transaction.atomic
def ask_about(opening_pk: int, *, by: str, words: str = "", together: bool = False) -> Enquiry:
    """One press: the opening is flagged if need be, and its factory is asked about it, alone or `together`
    with all of the request that waits to be asked of that factory."""
    special = flag(opening_pk, by=by, words=words)
    if together:
        return ask_with_others(special.pk, by=by, words=words)
    return ask_factory(special.pk, by=by, words=words)


@transaction.atomic
def ask_with_others(special_pk: int, *, by: str, words: str = "") -> Enquiry:
    """Ask about a special and all else of its request that its factory is to be asked; its enquiry."""
    special = locked(special_pk)
    _check_askable([special], special.revision.factory)
    if words.strip():
        special.words = words.strip()
        special.save(update_fields=["words"])
    ask_all(special.request_id, special.revision.factory_id, by=by)
    return special.enquiries.latest("pk")


@transaction.atomic
def ask_all(request_pk: int, factory_pk: int, *, by: str) -> list[Enquiry]:
    """Ask one factory about everything of a request that is to be asked of it: one letter, one link.

    More than anybody reads in one go becomes several letters; the first enquiry of each.
    """
    Request.objects.select_for_update().get(pk=request_pk)
    lines = [
        line for line in waiting(request=request_pk) if line.to_ask and line.factory == factory_pk
    ]
    if not lines:
        raise EnquiryError(f"Nothing of request {request_pk} waits to be asked of this factory.")
    pks = [line.special.pk for line in lines if line.special]
    pks += flag_all([line.opening for line in lines if line.special is None and line.opening], by)
    specials = fetched(*pks)
    return [
        _ask(specials[start : start + MOST_IN_A_LETTER], by)
        for start in range(0, len(specials), MOST_IN_A_LETTER)
    ]


@transaction.atomic
def ask_lead_time(
    request_pk: int, part_pk: int, quantity: int, *, by: str, words: str = ""
) -> Enquiry:
    """Ask the factory when this many of a part would leave it; the answer goes into the request."""
    request = Request.objects.select_for_update().get(pk=request_pk)
    part = Part.objects.select_related("revision__family").get(pk=part_pk)
    same = request.specials.filter(
        reason="lead_time", part=part, quantity=quantity, state__in=Special.OPEN
    ).first()
    if same and same.enquiry:
        return same.enquiry
    special = Special.objects.create(
        request=request,
        family=part.revision.family,
        revision=part.revision,
        part=part,
        reason="lead_time",
        words=words.strip(),
        quantity=quantity,
        flagged_by=by,
    )
    note(special, by, "flagged", f"lead time of {quantity} x {part.part_number}")
    return ask_factory(special.pk, by=by, words=words)


@transaction.atomic
def ask_factory(special_pk: int, *, by: str, words: str = "") -> Enquiry:
    """Ask about this special alone."""
    return _ask([locked(special_pk)], by, words)


def _ask(specials: list[Special], by: str, words: str = "") -> Enquiry:
    """Send one letter about specials of one request to their factory; the letter's first enquiry.

    A new letter is a new link; what was asked about any of them before is closed.
    """
    factory = specials[0].revision.factory
    _check_askable(specials, factory)
    now, today = timezone.now(), timezone.localdate()
    due = days_it_answers(factory).add_workdays(today, DAYS_TO_ANSWER)
    alike = {
        "number": f"{specials[0].pk:05d}-{specials[0].enquiries.count() + 1}",
        "sent_on": today,
        "answer_by": due,
        "shop": the_shop().lines,
        "factory": factory.name,
        "contact": factory.contact,
    }
    Enquiry.objects.filter(special__in=specials, closed_at=None).update(closed_at=now)
    enquiries = []
    for special in specials:
        if special.opening:
            special.said, special.quantity = as_said(special.opening), special.opening.quantity
        special.state = State.ASKED
        asked = _asked(special, words.strip() or special.words, alike)
        enquiries.append(_enquiry(special, factory, asked, by))
    Special.objects.bulk_update(specials, ["said", "quantity", "state"])
    first, *others = enquiries
    first.save()
    for other in others:
        other.asked_with = first
    Enquiry.objects.bulk_create(others)
    subject, body = enquiry_letter(Asking(tuple(one.asked() for one in enquiries)), LINK)
    _to_factory(first, "asked", subject, body, by)
    why = f"{factory.name}, answer by {long_date(due)}"
    if others:
        why += f"; {len(enquiries)} openings in one letter, {first}"
    note_all(((special, "factory asked", why) for special in specials), by)
    tell_priced(specials[0].request_id, by)
    remind_later(first)
    return first


def _check_askable(specials: list[Special], factory: Factory) -> None:
    refuse_erased(specials[0].request.customer_id, EnquiryError)
    for special in specials:
        if special.state not in ASKABLE:
            raise EnquiryError(
                f"{special} is {special.get_state_display()}: it can't be asked about now."
            )
        if special.opening is None and special.part is None:
            raise EnquiryError(
                f"The opening of {special} was taken out of the request: put the special aside."
            )
    if not factory.email:
        raise EnquiryError(
            f"{factory.name} has no e-mail for enquiries: type it on the page of the factory first."
        )


def _enquiry(special: Special, factory: Factory, asked: Asked, by: str) -> Enquiry:
    nonce = new_nonce()
    return Enquiry(
        special=special,
        factory=factory,
        to=factory.email,
        document=asked.to_plain(),
        due_on=asked.answer_by,
        nonce=nonce,
        token_hash=hash_of(token_of(nonce)),
        expires_at=_end_of(asked.answer_by) + timedelta(days=LINK_LASTS_DAYS),
        sent_by=by,
    )


def _asked(special: Special, words: str, alike: Mapping[str, Any]) -> Asked:
    """What is asked about one; `alike` is what all of its letter have."""
    opening = special.opening
    unit = Unit(special.revision.unit)
    place = f"Opening {opening.position + 1} of request {special.request_id}" if opening else ""
    return Asked(
        **alike,
        wants_price=special.wants_price,
        currency=special.revision.currency,
        quantity=special.quantity,
        unit=special.revision.sold_as,
        why=WHY_WE_ASK.get(special.reason, "") if special.wants_price else "",
        words=words,
        part=f"{special.part.part_number}, {describe_part(special.part)}" if special.part else "",
        opening=sheet_to_make(opening, place, unit) if opening else None,
    )


def _end_of(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.max))


def _to_factory(enquiry: Enquiry, cause: str, subject: str, body: str, by: str) -> None:
    post(
        cause=f"enquiry {enquiry.pk} {cause}",
        to=enquiry.to,
        subject=subject,
        body=body,
        by=by,
        special=enquiry.special,
        enquiry=enquiry,
        with_papers=True,
    )


def remind_later(enquiry: Enquiry, sent: int = 0, last: date | None = None) -> None:
    day = next_reminder(last or enquiry.due_on, sent, days_it_answers(enquiry.factory))
    if day:
        morning = timezone.make_aware(datetime.combine(day, time(8)))
        remind_factory.using(run_after=morning).enqueue(enquiry.pk)


@transaction.atomic
def remind(enquiry_pk: int, on: date | None = None) -> bool:
    """Send a letter's reminder that is due on a day (today), about all of it that waits for an answer."""
    one = Enquiry.objects.select_related("special").get(pk=enquiry_pk)
    Request.objects.select_for_update().get(pk=one.special.request_id)
    letter = letter_of(one)
    first, day = letter[0], on or timezone.localdate()
    open_ones = [enquiry for enquiry in letter if standing(enquiry) is Standing.OPEN]
    sent = max(enquiry.reminders for enquiry in letter)
    last = max((one.reminded_on for one in letter if one.reminded_on), default=first.due_on)
    due = next_reminder(last, sent, days_it_answers(first.factory))
    # Who waits for our answer is not asked for theirs.
    if first.questions.filter(done_at=None).exists():
        return False
    if not open_ones or due is None or day < due:
        return False
    for enquiry in open_ones:
        enquiry.reminders, enquiry.reminded_on = sent + 1, day
    Enquiry.objects.bulk_update(open_ones, ["reminders", "reminded_on"])
    asking = Asking(tuple(enquiry.asked() for enquiry in open_ones))
    subject, body = reminder_letter(asking, LINK, answered=len(letter) - len(open_ones))
    _to_factory(first, f"reminder {sent + 1}", subject, body, "the desk")
    why = f"no answer since {long_date(first.due_on)}"
    note_all(((enquiry.special, "factory reminded", why) for enquiry in open_ones), "the desk")
    remind_later(first, sent + 1, day)
    return True


@task()
def remind_factory(enquiry_pk: int) -> None:
    """For the worker, in the morning of the day on which a reminder falls due."""
    remind(enquiry_pk)
